"""Whether a row's leaf fits its values, under the form that its entry states."""

from collections.abc import Callable, Sequence

from jointmap.register import Form
from jointmap.storage.chain.canonical import Plain, canonical_of, salt_of, salted
from jointmap.storage.chain.hash_tree import leaf_hash
from jointmap.storage.chain.past_forms import Stated, columns_then

Check = Callable[[bytes, int, int, Sequence[Plain]], str]


class Checks:
    """How the rows of one kind are checked, by the form their entry states."""

    def __init__(self, form: Form, key: bytes, stated: Stated) -> None:
        self.form, self.key, self.stated = form, key, stated
        self._by_number: dict[int | None, Check] = {}

    def of(self, entry: object) -> Check:
        """Return the check of the rows of an entry."""
        number = self.stated.number(entry, self.form.kind)
        if number not in self._by_number:
            self._by_number[number] = _check_of(self.form, number, self.key)
        return self._by_number[number]


def _check_of(form: Form, number: int | None, key: bytes) -> Check:
    names = columns_then(form, number)
    if names is None or number is None:
        return lambda *_: "form"
    check = _plain_check(form, number, names)
    return _salted_check(form, names, key, check) if form.withholds else check


def _plain_check(form: Form, number: int, names: Sequence[str]) -> Check:
    own = [c.name for c in form.columns]
    width = len(own)
    kept = [own.index(n) for n in names]
    later = [n for n in range(width) if n not in kept]
    is_newest = kept == list(range(width))

    def check(leaf: bytes, id_: int, revision: int, values: Sequence[Plain]) -> str:
        if not is_newest:
            # A row holds nothing that its form did not know.
            if any(values[n] is not None for n in later):
                return "row"
            values = [values[n] for n in kept]
        try:
            data = canonical_of(form.kind, number, id_, revision, values)
        except TypeError:
            return "row"
        return "" if leaf == leaf_hash(data) else "row"

    return check


def _salted_check(
    form: Form, names: Sequence[str], key: bytes, plain_check: Check
) -> Check:
    width = len(form.columns)
    hidden = [n for n, c in enumerate(form.columns) if c.withheld]
    columns = [form.columns[n].name for n in hidden]
    then = set(names)

    def check(leaf: bytes, id_: int, revision: int, values: Sequence[Plain]) -> str:
        inside, salts = list(values[:width]), values[width:]
        try:
            for name, n, salt in zip(columns, hidden, salts, strict=True):
                if name not in then:
                    if salt is not None:
                        return "salt"
                    continue
                if salt != salt_of(key, form.kind, id_, revision, name):
                    return "salt"
                inside[n] = salted(str(salt), inside[n])
        except TypeError:
            return "row"
        return plain_check(leaf, id_, revision, inside)

    return check
