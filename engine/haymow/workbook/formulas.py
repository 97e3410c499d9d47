"""Tables as worksheet text: one template per column, `{r}` for the row, `{r-4}` four above."""

from __future__ import annotations

import re
from collections.abc import Callable

from openpyxl.utils import get_column_letter

from ..dialect import EQUATIONS, Node, parameters
from ..evaluate import conversions, target_of
from ..tables import (
    Asks,
    Book,
    Calc,
    Column,
    Edge,
    Entry,
    Into,
    Key,
    Last,
    Link,
    Names,
    Nearest,
    Prev,
    Pull,
    Roll,
    Running,
    Say,
    Shown,
    Table,
    Tally,
    Which,
)
from .pieces import filled, first_set, guarded, loosened, rolled, shown_as
from .trace import check_soft, printed

__all__ = ["Formulas", "filled", "guarded", "loosened"]

Text = tuple[str, list[str]]  # a formula's body, and the bare cells that must hold numbers


class Formulas:
    """Formula templates of a book, and the letters of the columns as laid out."""

    def __init__(self, book: Book) -> None:
        self.book = book
        self.letters: dict[tuple[str, str, int | None], str] = {}
        self.cells: dict[str, list[tuple[Column, int | None]]] = {}
        self._asked: Column | None = None
        for table in book.tables.values():
            self.cells[table.name] = []
            for column in (c for c in table.columns if not c.inline):
                for member in book.members(column):
                    self.cells[table.name].append((column, member))
                    letter = get_column_letter(len(self.cells[table.name]))
                    self.letters[table.name, column.name, member] = letter

    def template(self, table: Table, column: Column, member: int | None = None,
                 row: int = 0) -> str:
        """The formula of a column (a block's member), without the equals sign."""
        self._asked = column
        if isinstance(column, Tally):
            return self._tally(column, row)
        body, bare = self._body(table, column, member)
        return guarded(body, bare)

    def _body(self, table: Table, column: Column, member: int | None) -> Text:
        return _WAYS[type(column)](self, table, column, member)

    def cell(self, table: Table, column: Column, member: int | None = None, step: str = "") -> str:
        """A cell of this row, or some rows away."""
        letter = self.letters[table.name, column.name, member]
        return f"{letter if column.over else '$' + letter}{{r{step}}}"

    def _term(self, table: Table, name: str | float, member: int | None = None) -> Text:
        """A column of this table as it is used in a formula, and its cells that must be known."""
        if not isinstance(name, str) or name not in table.at:
            return str(name).removesuffix(".0"), []
        column = table.at[name]
        if column.inline:
            return self._body(table, column, member)
        cell = self.cell(table, column, member)
        return cell, [] if isinstance(column, Key) else [cell]

    def _calc(self, table: Table, column: Calc, member: int | None) -> Text:
        function = EQUATIONS[self.book.equation_name(column, member, EQUATIONS)].function
        given: dict[str, Node] = {}
        bare: list[str] = []
        for name in parameters(function):
            place = self.book.find(table, column, name, member)
            if place.table is None or place.column is None:
                given[name] = Node("cell", name)
                if self.book.settings[name].typed and name not in column.may_be_blank:
                    bare.append(name)  # the user may empty it
            elif place.table is table:
                text, cells = self._term(table, place.column.name, place.member)
                given[name] = Node("cell", text)
                _check_inline(table, place.column, name in column.may_be_blank)
                bare += [] if name in column.may_be_blank else cells
            else:
                number = self._number(table, column, place.member, member)
                text = f"INDEX({place.table.name}_{name},{number})"
                given[name] = Node("cell", text)
                bare += [] if isinstance(place.column, Key) else [text]
        node = function(**given)
        check_soft(node, [given[name] for name in column.may_be_blank if name in given])
        return printed(node), bare

    def _number(self, table: Table, column: Column, dimension: str, member: int | None) -> str:
        """Where the number of a row (of a block's member) in a dimension stands."""
        if dimension == column.over:
            whole = self.book.lists[dimension].dimensions[0] if dimension in self.book.lists \
                else dimension
            return self._header(table, member) + self._start(dimension, whole)
        return self.cell(table, table.at[dimension + "_no"])

    def _start(self, over: str, whole: str) -> str:
        """What is added to a member's number to find it in a larger block."""
        return f"+{over}_from" if self.book.start(over, whole) else ""

    def _into(self, table: Table, column: Into, member: int | None) -> Text:
        return self._converted(table, column.of, column.name, 1, member)

    def _shown(self, table: Table, column: Shown, member: int | None) -> Text:
        return self._converted(table, column.of, column.of, -1, member)

    def _converted(self, table: Table, of: str, name: str, sign: int, member: int | None) -> Text:
        text, bare = self._term(table, of, member)
        for factor, power in conversions(name):
            text += (("*" if power * sign > 0 else "/") + factor) * abs(power)
        return text, bare or [text]

    def _link(self, table: Table, column: Link, member: int | None) -> Text:
        target = self.book.tables[column.to]
        if column.by_name:
            return self._link_by_name(table, target, column)
        number, bare = self._row_number(table, target, column)
        if target.sortable:
            number = f"MATCH({number},{target.name}_{target.number_key},0)"
        return number, bare

    def _link_by_name(self, table: Table, target: Table, column: Link) -> Text:
        name, names = self.cell(table, table.at[column.by_name]), f"{target.name}_{column.key}"
        blank = '""'
        if column.blank_name:
            blank = f'MATCH("{column.blank_name}",{names},0)'
        elif column.blank:
            blank = self._term(table, column.blank)[0]
        return f'IF({name}="",{blank},IFERROR(MATCH({name},{names},0),""))', []

    def _row_number(self, table: Table, target: Table, column: Link) -> Text:
        text, bare = "", []
        for dimension, name in zip(target.dimensions, column.on, strict=True):
            term, cells = self._term(table, name)
            text = f"({text}-1)*{dimension}s+{term}" if text else term
            bare += cells
        return text, bare

    def _pull(self, table: Table, column: Pull, member: int | None) -> Text:
        link = table.at[column.via]
        target = self.book.tables[column.into] if column.into else target_of(self.book, link)
        source = target.at[column.of]
        row, bare = self._term(table, column.via, member if link.over else None)
        which = self._member(table, column, source, member)
        value = f"INDEX({target.name}_{source.name},{row}{which})"
        if source.over and column.member in table.at:
            bare = bare + self._term(table, column.member)[1]
        if column.inline:
            return value, [*bare, value]
        if isinstance(source, Entry) or (isinstance(source, Key) and source.gaps):
            value = f'IF({value}="","",{value})'  # an empty cell would read as 0
        return value, bare

    def _header(self, table: Table, member: int | None) -> str:
        """The cell above the asked block's column: it holds the member's number."""
        assert self._asked is not None
        return f"{self.letters[table.name, self._asked.name, member]}${table.top - 2}"

    def _member(self, table: Table, column: Pull, source: Column, member: int | None) -> str:
        if not source.over:
            return ""
        members = self.book.dimensions[source.over]
        if column.member in members:
            return f",{members.index(column.member) + 1}"
        if column.over:
            return f",{self._header(table, member)}{self._start(column.over, source.over)}"
        return f",{self._term(table, column.member)[0]}"

    def _prev(self, table: Table, column: Prev, member: int | None) -> Text:
        source, stride = table.at[column.of], self.book.stride(table, column.along)
        first = self._term(table, column.first)[0]
        bare: list[str] = []
        if column.member:
            ends = [self.letters[table.name, source.name, k]
                    for k in (0, self.book.size(source.over) - 1)]
            number = self._term(table, column.member)[0]
            back = f"INDEX(${ends[0]}{{r-{stride}}}:${ends[1]}{{r-{stride}}},{number})"
            bare = [number]
        else:
            back = self.cell(table, source, member, f"-{stride}")
        value = f"IF({self.cell(table, table.at[column.along + '_no'])}=1,{first},{back})"
        return value, [*bare, value] if column.inline else bare

    def _running(self, table: Table, column: Running, member: int | None) -> Text:
        here = self.cell(table, table.at[column.of])
        so_far = self.cell(table, column, None, f"-{self.book.stride(table, column.along)}")
        key = self.cell(table, table.at[column.along + "_no"])
        return f"IF({key}=1,{here},{guarded(f'{so_far}+{here}', [so_far, here])})", []

    def _last(self, table: Table, column: Last, member: int | None) -> Text:
        key = self.cell(table, table.at[column.along + "_no"])
        after = self.cell(table, column, None, f"+{self.book.stride(table, column.along)}")
        here = self.cell(table, table.at[column.of])
        return f"IF({key}={column.along}s,{here},{after})", []

    def _edge(self, table: Table, column: Edge, member: int | None) -> Text:
        target = target_of(self.book, table.at[column.via])
        row, last = self.cell(table, table.at[column.via]), f"{target.dimensions[-1]}s"
        number, values = self._term(table, column.member)[0], f"{target.name}_{column.of}"
        span = f"INDEX({values},{row},{number}):INDEX({values},{row}+{last}-1,{number})"
        found = first_set(span, last)
        if column.which == "least":
            found = f'IF(COUNT({span})<{last},"",MIN({span}))'
        if column.which == "last":
            order = f"{self.book.attributes[target.dimensions[-1]]}_{target.dimensions[-1]}_no"
            found = f'IF(COUNT({span})<{last},"",SUMPRODUCT(MAX(({span}=1)*{order})))'
        return f'IF(COUNT({row},{number})<2,"",{found})', []

    def _which(self, table: Table, column: Which, member: int | None) -> Text:
        source = table.at[column.of]
        last = self.book.size(source.over) - 1
        span = f"{self.cell(table, source, 0)}:{self.cell(table, source, last)}"
        return first_set(span, source.over + "s", column.flag), []

    def _nearest(self, table: Table, column: Nearest, member: int | None) -> Text:
        first, number = table.dimensions[0] + "_no", self.cell(table, table.at["row_no"])
        same = f"({table.name}_{first}={self.cell(table, table.at[first])})"
        known = f"ISNUMBER({table.name}_{column.of})"
        rows = f"{table.name}_row_no"
        if column.side == "before":
            return f"SUMPRODUCT(MAX({same}*({rows}<={number})*{known}*{rows}))", []
        turned = f"({table.name}_rows+1-{rows})"  # the smallest of them as the largest of the rest
        most = f"SUMPRODUCT(MAX({same}*({rows}>={number})*{known}*{turned}))"
        return f"MOD({table.name}_rows+1-{most},{table.name}_rows+1)", []

    def _roll(self, table: Table, column: Roll, member: int | None) -> Text:
        source = self.book.tables[column.table]
        values = f"{source.name}_{column.of}"
        if column.over:
            values = f"INDEX({values},0,{self._header(table, member)})"
        upto = {column.upto: '"<="&'}
        pairs = [f"{source.name}_{d}_no,{upto.get(d, '')}{self.cell(table, table.at[d + '_no'])}"
                 for d in table.dimensions
                 if d in source.dimensions and not (column.linked_by or column.shared)]
        if column.linked_by:
            # a link holds the row's place on the sheet; in a sorted list that is not its number
            own = f"ROWS(${self.letters[table.name, table.number_key, None]}${table.top}" \
                  f":{self.cell(table, table.at[table.number_key])})"
            pairs.append(f"{source.name}_{column.linked_by},{own}")
        shared = [self.cell(table, table.at[n]) for n in column.shared]
        pairs += [f"{source.name}_{n},{c}" for n, c in zip(column.shared, shared, strict=True)]
        if column.how == "ratio":
            return self._ratio(source, column, values, ",".join(pairs), member), shared
        return rolled(column.how, values, ",".join(pairs)), shared  # "" would match empty cells

    def _ratio(self, source: Table, column: Roll, values: str, pairs: str, member: int | None
               ) -> str:
        """One mean over another, the ratio of the sums: both are known in the same rows."""
        per = values.replace(f"{source.name}_{column.of}", f"{source.name}_{column.per}")
        return f'IFERROR(AVERAGEIFS({values},{pairs})/AVERAGEIFS({per},{pairs}),"")'

    def _say(self, table: Table, column: Say, member: int | None) -> Text:
        member = self.book.named_member(table, column)
        by = self.cell(table, table.at[column.by], member)
        sentences = ",".join(self._joined(table, s) for s in column.sentences)
        said = f'IF({by}="","{column.unknown}",CHOOSE({by}+1,{sentences}))'
        if column.used:
            said = f'IF({self.cell(table, table.at[column.used])}="","",{said})'
        return said, []

    def _joined(self, table: Table, sentence: str) -> str:
        parts = []
        for i, piece in enumerate(re.split(r"\{(\w+:?[^}]*)\}", sentence)):
            if i % 2:
                name, _, form = piece.partition(":")
                parts.append(shown_as(self._term(table, name)[0], form))
            elif piece:
                parts.append('"' + piece.replace('"', '""') + '"')
        return "&".join(parts) or '""'

    def _asks(self, table: Table, column: Asks, member: int | None) -> Text:
        used = "&".join(self.cell(table, table.at[name]) for name in column.used.split())
        said = []
        for name, words in column.needs:
            cell, asked = self.cell(table, table.at[name]), table.at[name]
            words_in = isinstance(asked, Entry) and asked.what in ("text", "choice")
            test = f'{cell}=""' if words_in else f"COUNT({cell})=0"
            said.append(f'IF({test},"{words}","")')
        return f'IF({used}="","",{"&".join(said)})', []

    def _names(self, table: Table, column: Names, member: int | None) -> Text:
        source, used = table.at[column.of], self.cell(table, table.at[column.used])
        said = [f'IF({self.cell(table, source, k)}={column.flag},"{word}{column.after}","")'
                for k, word in self.book.named(column, source)]
        return f'IF({used}="","",{"&".join(said)})', []

    def _tally(self, column: Tally, row: int) -> str:
        table, name = column.columns[row]
        column_found = self.book.tables[table].at[name]
        words = isinstance(column_found, Asks | Say | Names)
        return f'COUNTIF({table}_{name},"{"?*" if words else ">0"}")'


_WAYS: dict[type[Column], Callable[..., Text]] = {
    Calc: Formulas._calc, Into: Formulas._into, Shown: Formulas._shown, Link: Formulas._link,
    Pull: Formulas._pull, Prev: Formulas._prev, Running: Formulas._running, Last: Formulas._last,
    Edge: Formulas._edge, Which: Formulas._which, Nearest: Formulas._nearest,
    Roll: Formulas._roll, Say: Formulas._say, Asks: Formulas._asks,
    Names: Formulas._names,
}


def _check_inline(table: Table, column: Column, soft: bool) -> None:
    """Refuse an inline pull that may be blank through a link that may be: INDEX would fail."""
    if soft and isinstance(column, Pull) and column.inline:
        link = table.at[column.via]
        if not isinstance(link, Link) or link.by_name:
            raise TypeError(f"{table.name}.{column.name} may be blank, as may its link: give it a"
                            " column of its own")
