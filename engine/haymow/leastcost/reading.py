"""From a ranch to the facts of its program: the sheets' own values, lines to choose cleared."""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np

from ..evaluate import Values
from ..problems import InputError, Problem
from ..ranch import Ranch
from ..tables.make import make
from . import limits
from .facts import Facts, Limit, Need, Products
from .kept import cleared, folded, named, to_keep, with_fewer_lines
from .program import Array
from .wishes import Wishes

__all__ = ["MINERAL_TIER", "RATIO_TIER", "Diets", "as_now", "facts"]

MOST_EATEN_PCT_BW = 4.0  # of dry matter a day; no cattle eat more. Common practice, no source
UNWEIGHED_KG = 500.0  # only for that outermost bound
NOTHING = ("No group can be planned: neither needs nor forage are known of any. Run 'haymow check'"
           " on the workbook first.")
TIERS = {"dm": 0, "rdp": 1, "cp": 1, "tdn": 3, "nem": 3, "ca": 4, "p": 4}
RATIO_TIER, MINERAL_TIER = 2, 5


@dataclass(frozen=True)
class Diets:
    """The ranch as it is, then with other forages fed; which forage, and where it may be.

    ``may_lack`` adds a last diet of nothing, where there may be too little to go round.
    """

    ranches: tuple[Ranch, ...]
    offers: Array
    may_eat: Array
    may_lack: bool = False


def as_now(ranch: Ranch) -> Diets:
    """Only the diet that stands on the sheet."""
    groups, months = ranch.sizes["group"], ranch.sizes["month"]
    return Diets((ranch,), np.full((1, groups), -1), np.ones((1, groups, months), bool))


def facts(wishes: Wishes, diets: Diets) -> Facts:
    """Read all numbers of a ranch, with each of its possible diets.

    Raises InputError where nothing can be planned, or a wish names what is not there.
    """
    keep = to_keep(diets.ranches[0], wishes)
    bare = [with_fewer_lines(cleared(each, keep)) for each in diets.ranches]
    found = _Reader(diets, wishes, keep, [Values(make(each), each) for each in bare]).facts()
    return _or_nothing(found, diets) if diets.may_lack else found


def _or_nothing(found: Facts, diets: Diets) -> Facts:
    """The facts with one more diet, of no forage, wherever forage is shared out."""
    def more(values: Array, last: Array | float) -> Array:
        return np.concatenate([values, np.broadcast_to(last, values[:1].shape)])

    needs = tuple(replace(need, has=more(need.has, np.where(np.isnan(need.has[:1]), np.nan, 0.0)),
                          wants=more(need.wants, need.wants[:1])) for need in found.needs)
    shared = ~found.may_eat[:1]
    return replace(found, needs=needs, eaten=more(found.eaten, 0.0),
                   offers=more(found.offers, -1), may_eat=more(found.may_eat, shared),
                   forage_tonne=more(found.forage_tonne, 0.0), tdn_over=more(found.tdn_over, 0.0))


class _Reader:
    """One reading: the base is the first of ``all_values``."""

    def __init__(self, diets: Diets, wishes: Wishes, keep: tuple[str, ...],
                 all_values: list[Values]) -> None:
        self.diets, self.wishes, self.all_values, self.keep = diets, wishes, all_values, keep
        self.ranch, self.values = diets.ranches[0], all_values[0]
        self.book = self.values.book
        self.notes: list[Problem] = []
        self.groups = self._groups()
        self.rows = self._rows()

    def facts(self) -> Facts:
        head = self.values.column("Herd", "head")[self.groups]
        calendar = {n: self.values.column("Calendar", n) for n in ("days", "first_day")}
        self.weight_kg = self._by_month("Needs", "shrunk_weight_kg")
        self.eaten = self._each("Balance", "forage_eaten_kg_per_day")
        self.given_up = self._of_products("given_up_used")
        every = {key: self._need(key) for key in self.book.dimensions["nutrient"]}
        needs = [self._surely(need) for key, need in every.items() if key in self.wishes.needs]
        if self.wishes.minerals:
            needs += self._minerals()
        products = self._products()
        tdn_over, tdn_per_kg, tdn_forage = self._ratio(every["tdn"], every["cp"])
        lift, lift_per_kg = self._lift(self._surely(every["cp"]))
        known = np.any([need.known for need in needs], axis=0)
        solved = known & ~np.isnan(self.eaten).any(0) & ~np.isnan(head)[:, None]
        solved &= ~np.isnan(calendar["days"])
        if not solved.any():
            raise InputError(NOTHING)
        self._told_unknown(needs)
        return Facts(
            ranch=self.ranch, wishes=self.wishes, groups=self.groups, products=products,
            names=tuple(str(n) for n in self.values.column("Herd", "group")[self.groups]),
            head=np.nan_to_num(head), days=calendar["days"], first_days=calendar["first_day"],
            weight_kg=self.weight_kg, solved=solved, eaten=self.eaten,
            offers=self.diets.offers[:, self.groups], may_eat=self.diets.may_eat[:, self.groups],
            forage_tonne=self._each("Diet", "as_fed_per_dm") * self.eaten
            * (head[:, None] * calendar["days"]) / 1000,
            needs=tuple(needs), limits=tuple(self._limits(products)),
            tdn_over=tdn_over, tdn_per_kg=tdn_per_kg, tdn_forage=tdn_forage,
            energy_short=self._energy_short(every), lift=lift, lift_per_kg=lift_per_kg,
            met_within_pct=self.values.setting("met_within_pct"),
            forage_names=tuple(str(n or "") for n in self.values.column("Forages", "forage")),
            kept=self.keep, kept_usd=self._kept_usd(), notes=tuple(self.notes))

    def _groups(self) -> Array:
        """Groups with a name, a number of head, and a need that is known in some month."""
        names = self.values.column("Herd", "group")
        known = ~np.isnan(self.values.column("Herd", "head"))
        shape = self.book.shape(self.book.tables["Balance"])
        any_need = np.any([~np.isnan(self.values.column("Balance", "over", key)).reshape(shape)
                           for key in self.wishes.needs], axis=(0, 2))
        found = np.array([name is not None for name in names]) & known & any_need
        for name in names[np.array([name is not None for name in names]) & ~found]:
            self.notes.append(Problem(f"Herd ({name})", "Nothing is known of what this group needs;"
                                      " its lines were left as they are.", "stop",
                                      "'haymow check' says what is missing."))
        if not found.any():
            raise InputError(NOTHING)
        return np.flatnonzero(found)

    def _rows(self) -> Array:
        """The products that may be bought: named, once, with price and dry matter."""
        names = [str(n or "") for n in self.values.column("Supplements", "product")]
        wished = self.wishes.products
        rows = named(wished, names, "Supplements") if wished else range(1, len(names))
        kept = {folded(name) for name in self.keep}
        found, seen = [], {folded(names[0]), "", *kept}
        for row in rows:
            if folded(names[row]) in seen:
                continue
            seen.add(folded(names[row]))
            missing = [words for column, words in (
                ("delivered_usd_per_tonne", "its price"), ("dm_known_pct_as_fed", "its dry matter"),
                ("loss_used_pct", "its loss")) if np.isnan(self.values.column(
                    "Supplements", column)[row])]
            if missing:
                self.notes.append(Problem(
                    f"Supplements ({names[row]})", f"{' and '.join(missing).capitalize()} is not"
                    " known; it was not considered.", "look", "Fill in what the row asks for."))
            else:
                found.append(row)
        return np.array(found, int)

    def _by_month(self, table: str, column: str, member: str = "", of: Values | None = None
                  ) -> Array:
        """A column of a table by group and month, for the planned groups."""
        found = (of or self.values).column(table, column, member)
        return np.asarray(found.reshape(self.book.shape(self.book.tables[table]))[self.groups])

    def _each(self, table: str, column: str, member: str = "") -> Array:
        """The same for each diet: diet x group x month."""
        return np.stack([self._by_month(table, column, member, of) for of in self.all_values])

    def _of_products(self, column: str, member: str = "") -> Array:
        return np.asarray(self.values.column("Supplements", column, member)[self.rows])

    def _attribute(self, key: str, column: str) -> Array:
        """An attribute of a nutrient, from Nutrients."""
        table = self.book.lists["nutrient"]
        return np.asarray(self.values.column(table.name, column)[
            self.book.dimensions[table.dimensions[0]].index(key)])

    def _brings(self, key: str, forage: Array, level: Array | float = 0.0) -> Array:
        """What a kg of each product adds, of which ``level`` is wanted in all that is eaten."""
        part = self._of_products("dry_matter", key)
        own = (np.nan_to_num(part) - np.asarray(level)[..., None]) * self._attribute(key, "per_kg")
        return np.asarray(own - self.given_up * np.nan_to_num(forage)[..., None])

    def _need(self, key: str) -> Need:
        forage = self._by_month("Balance", "forage_pct", key) * self._attribute(key, "per_kg")
        return Need(
            key=key, name=str(self._attribute(key, "nutrient")),
            unit=str(self._attribute(key, "shown_unit")),
            si_per_shown=float(self._attribute(key, "si_per_shown")), tier=TIERS.get(key, 4),
            has=self._each("Balance", "diet", key), wants=self._each("Balance", "needed", key),
            forage=forage, brings=self._brings(key, forage))

    def _surely(self, need: Need) -> Need:
        """The need with the margin that the workbook sizes amounts with; none unless so set."""
        held = self._each("Surety", "content_margin_used", need.key)
        held = held * self._attribute(need.key, "per_kg")
        forage = np.maximum(need.forage - held[0], 0)
        return replace(need, has=need.has - held * self.eaten, forage=forage,
                       wants=need.wants + self._each("Surety", "need_margin_used", need.key),
                       brings=self._brings(need.key, forage))

    def _minerals(self) -> list[Need]:
        """Levels of minerals in the whole diet, water counted, as needs; where one is set."""
        diet_dm, found = self._each("Minerals", "diet_dm_kg_per_day"), []
        for key in self.book.dimensions["mineral"]:
            level, per_kg = self._each("Minerals", "level", key), self._attribute(key, "per_kg")
            level = np.where(level > 0, level, np.nan)
            forage = (self._by_month("Minerals", "forage_pct", key) - level[0]) * per_kg
            found.append(Need(
                key=key, name=str(self._attribute(key, "nutrient")),
                unit=str(self._attribute(key, "shown_unit")), tier=MINERAL_TIER,
                si_per_shown=float(self._attribute(key, "si_per_shown")),
                has=self._each("Minerals", "in_diet", key) * per_kg * diet_dm,
                wants=level * per_kg * diet_dm, forage=forage,
                brings=self._brings(key, forage, level[0])))
        return [need for need in found if need.known.any()]

    def _ratio(self, tdn: Need, cp: Need) -> tuple[Array, Array, Array]:
        """TDN less the allowed multiple of CP: in the diets, in a kg of feeds, of forage."""
        most = self.values.setting("most_tdn_per_cp")
        return (tdn.has - most * cp.has, tdn.brings - most * cp.brings,
                tdn.forage - most * cp.forage)

    def _energy_short(self, every: dict[str, Need]) -> Array:
        """Where an energy need that counts is short before any feed."""
        within = self.values.setting("met_within_pct") / 100
        short = [np.nan_to_num(every[key].wants[0] * (1 - within) - every[key].has[0]) > 0
                 for key in ("tdn", "nem") if key in self.wishes.needs]
        return np.asarray(np.any([np.zeros(self.eaten.shape[1:], bool), *short], axis=0))

    def _lift(self, cp: Need) -> tuple[Array, Array]:
        """Forage eaten more: the most, and for a kg of each product (CP being short)."""
        share = self.values.setting("intake_response_pct") / 100
        most = np.nan_to_num(self.eaten[0]) * share
        within = self.values.setting("met_within_pct") / 100
        gap = np.nan_to_num(cp.wants[0] - cp.has[0])
        short = (gap > within * np.nan_to_num(cp.wants[0])) & self._no_kept_protein()[:, None]
        most = np.where(short & cp.known, most, 0.0)
        per_kg = np.maximum(cp.brings, 0) * most[..., None]
        return most, np.divide(per_kg, gap[..., None], out=np.zeros_like(per_kg),
                               where=short[..., None])

    def _no_kept_protein(self) -> Array:
        """Groups none of whose kept lines has had its effect on intake already."""
        shape = self.book.shape(self.book.tables["Plan"])
        lifting = {int(self._attribute(key, "analyte_no"))
                   for key in self.book.dimensions["nutrient"]
                   if self._attribute(key, "lifts_intake") > 0}
        purposes = self.values.column("Plan", "purpose_row")
        used = (self.values.column("Plan", "used") > 0) & np.isin(purposes, list(lifting))
        return np.asarray(~used.reshape(shape)[self.groups].any(1))

    def _products(self) -> Products:
        label = self._of_products("label_dm_kg_per_day")
        times, own = self._of_lines()
        most, by, bounds, outermost = self._bounds(times, own, label)
        names = self.values.column("Supplements", "product")[self.rows]
        return Products(
            rows=self.rows, names=tuple(str(name) for name in names),
            dm_pct=self._of_products("dm_known_pct_as_fed"), given_up=self.given_up,
            loss_pct=self._of_products("loss_used_pct"),
            usd_per_tonne=self._month_prices(),
            freight_usd_per_tonne=self._of_products("freight_used_usd_per_tonne"),
            known={key: ~np.isnan(self._of_products("dry_matter", key))
                   for key in self.book.dimensions["nutrient"]},
            self_fed=~np.isnan(label), purpose_rows=self._of_products("purpose_row"),
            times_per_week=times, most_kg_per_day=most, outermost_kg_per_day=outermost,
            bound_by=by, bounds=bounds)

    def _month_prices(self) -> Array:
        """The delivered price in each month: month x product."""
        months = self.book.dimensions["month"]
        return np.stack([self._of_products("month_usd_per_tonne", month) for month in months])

    def _of_lines(self) -> tuple[Array, Array]:
        """What the user said of a product in a group's lines: feedings a week, most to feed."""
        shape = (len(self.groups), len(self.rows))
        times, most = np.full(shape, self.wishes.times_per_week or 7.0), np.full(shape, np.inf)
        names = [folded(n) for n in self.values.column("Supplements", "product")[self.rows]]
        kg, lines = self.values.setting("kg_per_weight_unit"), self.ranch.sizes["line"]
        dm_pct = self._of_products("dm_known_pct_as_fed")
        for row, cells in self.ranch.entries.get("Plan", {}).items():
            group, name = (row - 1) // lines, folded(cells.get("product"))
            if group not in self.groups or name not in names:
                continue
            at = int(np.flatnonzero(self.groups == group)[0]), names.index(name)
            typed_times, typed_most = cells.get("times_per_week"), cells.get("most")
            if isinstance(typed_times, int | float) and not self.wishes.times_per_week:
                times[at] = typed_times
            if isinstance(typed_most, int | float):
                most[at] = min(most[at], typed_most * kg * dm_pct[at[1]] / 100)
        return times, most

    def _bounds(self, times: Array, own: Array, label: Array
                ) -> tuple[Array, Array, tuple[str, ...], Array]:
        """The limit that binds first for each product, which it is, and the outermost one."""
        shape = (*self.weight_kg.shape, len(self.rows))
        weight = np.where(np.isnan(self.weight_kg), UNWEIGHED_KG, self.weight_kg)
        reasons = {"more than any animal eats": weight[..., None] * MOST_EATEN_PCT_BW / 100,
                   "your own limit": own[:, None, :], "what they take by themselves": label}
        for bound in limits.BOUNDS:
            found = limits.bound_kg_per_day(self.values, bound, self.rows, self.weight_kg,
                                            times[:, None, :])
            if found is not None:
                reasons[bound.words] = found
        each = np.stack([np.broadcast_to(np.where(np.isnan(v), np.inf, v), shape)
                         for v in reasons.values()])
        label_no = list(reasons).index("what they take by themselves")
        too_much = ~np.isnan(label) & (each[label_no] > each.min(0))  # never put out then
        return np.where(too_much, 0.0, each.min(0)), each.argmin(0), tuple(reasons), each[0]

    def _limits(self, products: Products) -> list[Limit]:
        """Limits on all feeds together, those already in kept lines taken off."""
        found = [*self._diet_limits(products), *self._mineral_limits()]
        if self.wishes.most_feeds_pct_bw is not None:
            room = self.wishes.most_feeds_pct_bw / 100 * self.weight_kg
            takes = np.broadcast_to(100 / products.dm_pct, (*room.shape, len(self.rows)))
            found.append(Limit("all feeds together", takes, room))
        return found

    def _diet_limits(self, products: Products) -> list[Limit]:
        found = []
        for line, part, most, told in limits.diet_limits(self.values, self.rows, products.names):
            self.notes += told
            meal = 7 / products.times_per_week[:, None, :] if line.per_meal else 1.0
            takes, room = part * meal, most / 100 * self.weight_kg
            if line.of in ("diet", "cp"):
                base = "dm" if line.of == "diet" else "cp"
                of = self._need(base)
                inside = (np.zeros_like(of.forage) if not line.forage
                          else self._by_month("Diet", "eaten", line.forage) / 100)
                takes = (part - most / 100 * of.brings) - self.given_up * inside[..., None]
                room = most / 100 * of.has[0] - inside * self.eaten[0]
            takes = np.broadcast_to(takes, (*room.shape, len(self.rows)))
            found.append(Limit(line.words, takes, np.where(room < 0, 0.0, room)))
        return found

    def _mineral_limits(self) -> list[Limit]:
        """The most of a mineral in the whole diet; sulfur always, the others on wish."""
        diet_dm, found = self._by_month("Minerals", "diet_dm_kg_per_day"), []
        for key in self.book.dimensions["mineral"] if self.wishes.minerals else ("s",):
            most, per_kg = self._by_month("Minerals", "most", key), self._attribute(key, "per_kg")
            most = np.where(most > 0, most, np.nan)
            forage = (self._by_month("Minerals", "forage_pct", key) - most) * per_kg
            room = (most - self._by_month("Minerals", "in_diet", key)) * per_kg * diet_dm
            if not np.isnan(room).all():
                found.append(Limit(f"{self._attribute(key, 'words')} in the whole diet",
                                   self._brings(key, forage, most), np.where(room < 0, 0.0, room)))
        return found

    def _kept_usd(self) -> float:
        """Cost of the lines that stay: those to keep, and those of groups that are not planned."""
        ranch = cleared(self.ranch, self.keep, self.groups)
        values = self.values
        if ranch.entries["Plan"] != cleared(self.ranch, self.keep).entries["Plan"]:
            values = Values(make(ranch), ranch)
        return float(np.nansum(values.column("Amounts", "cost_usd")))

    def _told_unknown(self, needs: list[Need]) -> None:
        """Say which contents of products were counted as nothing, and which needs not at all."""
        for need in needs:
            unknown = np.isnan(self._of_products("dry_matter", need.key))
            if unknown.any() and need.known.any():
                names = self.values.column("Supplements", "product")[self.rows][unknown]
                self.notes.append(Problem(
                    "Supplements", f"{need.name} of {', '.join(names)} is not known and was counted"
                    " as none.", "note", "Ask for the tag or a test."))
            if need.tier < MINERAL_TIER and not need.known.all():
                self.notes.append(Problem(
                    "Balance", f"{need.name} is not known in {int((~need.known).sum())} of"
                    f" {need.known.size} months of the groups and does not count there.", "look",
                    "See on Balance what is missing."))
