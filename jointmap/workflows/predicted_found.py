"""The failure model against what was found: per quarter, per class, by age."""

import datetime as dt
from collections.abc import Iterator

import numpy as np
from markupsafe import Markup

from jointmap.assessment.assess import Assessment
from jointmap.assessment.early import early_told
from jointmap.errors import Refused
from jointmap.hazard.ages import LifeEvents, gathered
from jointmap.hazard.dates import LifeColumns
from jointmap.hazard.failure_model import FailureModel
from jointmap.hazard.outlook import predicted_and_found
from jointmap.hazard.seen_lives import seen_lives
from jointmap.hazard.turnbull import turnbull
from jointmap.hazard.weibull import LifeIntervals, fit_weibull
from jointmap.pages.asked import assessed
from jointmap.plain_text import own_markup
from jointmap.reports.every_report import REPORTS
from jointmap.reports.views import NO_DRAWING, Frame
from jointmap.reports.views_predicted import ClassRow, PredictedPage, QuarterRow
from jointmap.site_map.life_plot import LifePlot, life_plot
from jointmap.sites.site_folder import SiteFolder
from jointmap.wording import say, say_told
from jointmap.wording.problems import line_of
from jointmap.workflows.learn import SPEAKS_FOR_ITSELF, ageing_lines
from jointmap.workflows.what_if import base_model, lives_under


def predicted_html(site: SiteFolder, *, on: dt.date, known: dt.date | None) -> str:
    """Return the page; without a model in force the default prior is held against."""
    with assessed(site, on, known) as (found, frame):
        view = predicted_page(found, frame)
    return REPORTS["predicted"].make(view)


def predicted_page(found: Assessment, frame: Frame) -> PredictedPage:
    """Return what the page shows of one state of the register."""
    source, model = base_model(found)
    lives, events = lives_under(found, model)
    steps, _ = gathered(lives.columns.starts_on, events, model.repeat_days)
    curve, note = _curve(seen_lives(steps))
    none = "" if found.risk else say("predicted.none")
    told = (say("what_if.model", {"source": source}), none)
    return PredictedPage(
        frame=frame,
        model=" ".join(filter(None, told)),
        quarters=tuple(_quarters(model, lives.columns, events)),
        classes=tuple(_classes(model)),
        ageing=tuple(ageing_lines(model)),
        early=tuple(map(say_told, early_told(found))),
        curve=curve,
        curve_note=note,
    )


def _quarters(
    model: FailureModel, lives: LifeColumns, events: LifeEvents
) -> Iterator[QuarterRow]:
    found = predicted_and_found(model, lives, events)
    outside = found.outside
    for n in range(len(found)):
        yield QuarterRow(
            begins_on=found.begins_on[n].item(),
            tests=int(found.tests[n]),
            predicted=float(found.predicted[n]),
            found=int(found.found[n]),
            low=int(found.low[n]),
            high=int(found.high[n]),
            outside=bool(outside[n]),
        )


def _classes(model: FailureModel) -> Iterator[ClassRow]:
    for kind, family in (("device", model.device), ("place", model.place)):
        rates = family.rates
        for n, name in enumerate(family.names):
            yield ClassRow(
                kind=say(f"page.class_of_{kind}"),
                name=name,
                rate=float(rates.rate[n]),
                failures=float(rates.failures[n]),
                joint_years=float(rates.joint_years[n]),
                own=bool(rates.failures[n] >= SPEAKS_FOR_ITSELF),
            )


def _curve(lives: LifeIntervals) -> tuple[Markup, str]:
    """Return the curve of failures by age, and what it is or why there is none."""
    try:
        fit = fit_weibull(lives)
    except Refused as refused:
        return NO_DRAWING, " ".join(line_of(p) for p in refused.problems)
    masses = turnbull(lives)
    ends = np.concatenate([lives.after_year, lives.until_year])
    known = np.isfinite(masses.until_year)
    steps = list(
        zip(
            masses.after_year[known].tolist(),
            masses.until_year[known].tolist(),
            np.cumsum(masses.share[known]).tolist(),
            strict=True,
        )
    )
    plot = LifePlot(
        steps,
        fit.rate,
        fit.shape,
        float(ends[np.isfinite(ends)].max()),
        say("page.years"),
        say("page.failed_by_age"),
    )
    facts = {"scale": fit.scale_year, "shape": fit.shape, "lives": len(lives)}
    return own_markup(life_plot(plot)), say("page.curve_note", facts)
