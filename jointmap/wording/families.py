"""All sentences of all families, one dictionary."""

from jointmap.wording.acceptance import SENTENCES as ACCEPTANCE
from jointmap.wording.calculations import SENTENCES as CALCULATIONS
from jointmap.wording.cautions import SENTENCES as CAUTIONS
from jointmap.wording.changing import SENTENCES as CHANGING
from jointmap.wording.checks import SENTENCES as CHECKS
from jointmap.wording.clocks import SENTENCES as CLOCKS
from jointmap.wording.deferring import SENTENCES as DEFERRING
from jointmap.wording.design import SENTENCES as DESIGN
from jointmap.wording.due import SENTENCES as DUE
from jointmap.wording.exchange import SENTENCES as EXCHANGE
from jointmap.wording.findings import SENTENCES as FINDINGS
from jointmap.wording.fitting import SENTENCES as FITTING
from jointmap.wording.handover import SENTENCES as HANDOVER
from jointmap.wording.labels import SENTENCES as LABELS
from jointmap.wording.location import SENTENCES as LOCATION
from jointmap.wording.map_page import SENTENCES as MAP_PAGE
from jointmap.wording.outputs import SENTENCES as OUTPUTS
from jointmap.wording.pictures import SENTENCES as PICTURES
from jointmap.wording.reading import SENTENCES as READING
from jointmap.wording.record import SENTENCES as RECORD
from jointmap.wording.risk import SENTENCES as RISK
from jointmap.wording.roles import SENTENCES as ROLES
from jointmap.wording.routes import SENTENCES as ROUTES
from jointmap.wording.storage import SENTENCES as STORAGE
from jointmap.wording.trial import SENTENCES as TRIAL
from jointmap.wording.verifying import SENTENCES as VERIFYING
from jointmap.wording.what_if_shorted import SENTENCES as WHAT_IF_SHORTED
from jointmap.wording.worksheet import SENTENCES as WORKSHEET

SENTENCES: dict[str, str] = {
    **RECORD,
    **PICTURES,
    **STORAGE,
    **CHANGING,
    **VERIFYING,
    **EXCHANGE,
    **READING,
    **ACCEPTANCE,
    **CALCULATIONS,
    **FINDINGS,
    **FITTING,
    **HANDOVER,
    **LOCATION,
    **DUE,
    **DEFERRING,
    **RISK,
    **ROLES,
    **ROUTES,
    **TRIAL,
    **CAUTIONS,
    **CHECKS,
    **CLOCKS,
    **DESIGN,
    **LABELS,
    **MAP_PAGE,
    **OUTPUTS,
    **WORKSHEET,
    **WHAT_IF_SHORTED,
}
