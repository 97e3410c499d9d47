"""Functions for Excel that answer a question at once; the arithmetic is the engine's."""

import datetime as dt
from collections import defaultdict

import numpy as np

from ..evaluate import Values
from ..ranch import EPOCH, Ranch
from ..steps.balance import from_forage, over
from ..steps.feeding import net_per_kg, wanted_kg_per_day
from ..tables.make import make
from ..tables.small import rows_of, settings
from .cells import MARK, worked_out
from .offered import in_excel

__all__ = [
    "HM_CLASS_CP_NEED_KG_PER_DAY", "HM_CLASS_FORAGE_INTAKE_KG_PER_DAY",
    "HM_CLASS_NEM_NEED_MCAL_PER_DAY", "HM_CLASS_TDN_NEED_KG_PER_DAY",
    "HM_SHORT_OR_OVER_KG_PER_DAY", "HM_TO_FEED_KG_PER_DAY",
]

PER_PERCENT = 0.01  # kg in a kg, of a content of 1 %
IF_ASKED = ("calves_on", "peak_milk_kg_per_day", "gain_kg_per_day", "mature_weight_kg",
            "forage_ndf_pct_dm")
SMALLEST = {"month": 1, "line": 1, "forage": 1, "product": 2, "sample": 1}


@in_excel
def HM_CLASS_CP_NEED_KG_PER_DAY(class_name, shrunk_weight_kg, asked_on, calves_on=None,
                                peak_milk_kg_per_day=None, gain_kg_per_day=None,
                                mature_weight_kg=None):
    """CP need of a class of cattle, kg/day: mean of the month that holds the day."""
    return _of_class("cp_need_kg_per_day", class_name=class_name,
                     shrunk_weight_kg=shrunk_weight_kg, asked_on=asked_on, calves_on=calves_on,
                     peak_milk_kg_per_day=peak_milk_kg_per_day, gain_kg_per_day=gain_kg_per_day,
                     mature_weight_kg=mature_weight_kg)


@in_excel
def HM_CLASS_TDN_NEED_KG_PER_DAY(class_name, shrunk_weight_kg, asked_on, calves_on=None,
                                 peak_milk_kg_per_day=None, gain_kg_per_day=None,
                                 mature_weight_kg=None):
    """TDN need of a class of cattle, kg/day: mean of the month that holds the day."""
    return _of_class("tdn_need_kg_per_day", class_name=class_name,
                     shrunk_weight_kg=shrunk_weight_kg, asked_on=asked_on, calves_on=calves_on,
                     peak_milk_kg_per_day=peak_milk_kg_per_day, gain_kg_per_day=gain_kg_per_day,
                     mature_weight_kg=mature_weight_kg)


@in_excel
def HM_CLASS_NEM_NEED_MCAL_PER_DAY(class_name, shrunk_weight_kg, asked_on, calves_on=None,
                                   peak_milk_kg_per_day=None, gain_kg_per_day=None,
                                   mature_weight_kg=None):
    """NEm need of a class of cattle, Mcal/day: mean of the month that holds the day."""
    return _of_class("nem_need_mcal_per_day", class_name=class_name,
                     shrunk_weight_kg=shrunk_weight_kg, asked_on=asked_on, calves_on=calves_on,
                     peak_milk_kg_per_day=peak_milk_kg_per_day, gain_kg_per_day=gain_kg_per_day,
                     mature_weight_kg=mature_weight_kg)


@in_excel
def HM_CLASS_FORAGE_INTAKE_KG_PER_DAY(class_name, shrunk_weight_kg, asked_on, forage_tdn_pct_dm,
                                      calves_on=None, peak_milk_kg_per_day=None,
                                      gain_kg_per_day=None, mature_weight_kg=None,
                                      forage_ndf_pct_dm=None):
    """Dry matter of forage a class of cattle is predicted to eat, kg/day: mean of the month."""
    return _of_class("intake_kg_per_day", class_name=class_name,
                     shrunk_weight_kg=shrunk_weight_kg, asked_on=asked_on,
                     forage_tdn_pct_dm=forage_tdn_pct_dm, calves_on=calves_on,
                     peak_milk_kg_per_day=peak_milk_kg_per_day, gain_kg_per_day=gain_kg_per_day,
                     mature_weight_kg=mature_weight_kg, forage_ndf_pct_dm=forage_ndf_pct_dm)


@in_excel
def HM_SHORT_OR_OVER_KG_PER_DAY(intake_kg_per_day, forage_pct_dm, nutrient_need_kg_per_day):
    """What forage alone leaves short (-) or over (+) of a nutrient, kg/day."""
    def work(values):
        eaten, content, need = (value.astype(float) for value in values.values())
        return over(from_forage(content, PER_PERCENT, eaten), need)

    return worked_out({"intake_kg_per_day": intake_kg_per_day, "forage_pct_dm": forage_pct_dm,
                       "nutrient_need_kg_per_day": nutrient_need_kg_per_day}, work)


@in_excel
def HM_TO_FEED_KG_PER_DAY(short_kg_per_day, feed_pct_dm, forage_pct_dm, given_up=None):
    """Dry matter of a feed that closes what is short of a nutrient, kg/day.

    Forage given up for it is counted; without a figure none is given up.
    """
    def work(values):
        gap, feed, forage, given = (value.astype(float) for value in values.values())
        within = float(settings(True)["met_within_pct"].value or 0)
        net = net_per_kg(feed, forage, np.nan_to_num(given), PER_PERCENT, within)
        said = f"{MARK}The feed holds too little to close what is short."
        with np.errstate(all="ignore"):  # the branch of feeds that close nothing is not taken
            amount = wanted_kg_per_day(gap, net, 0.0).astype(object)
        return np.where((gap > 0) & (net <= 0), said, amount)

    return worked_out({"short_kg_per_day": short_kg_per_day, "feed_pct_dm": feed_pct_dm,
                       "forage_pct_dm": forage_pct_dm, "given_up": given_up}, work,
                      optional=("given_up",))


def _of_class(column, **given):
    """A column of Needs, each cell a group of its own that stands in a ranch of one month."""
    def work(values):
        months = defaultdict(list)
        for place, number in enumerate(values["asked_on"]):
            day = EPOCH + dt.timedelta(int(number))
            months[day.replace(day=1)].append(place)
        answers = np.empty(len(values["asked_on"]), object)
        for month, places in months.items():
            answers[places] = _in_month(column, month,
                                        {name: value[places] for name, value in values.items()})
        return answers

    return worked_out(given, work, words=("class_name",), optional=IF_ASKED)


def _in_month(column, month, values):
    """Answers for cells that ask about the same month."""
    cells = [dict(zip(values, row, strict=True)) for row in zip(*values.values(), strict=True)]
    entries = {
        "Herd": {number: _group(number, cell) for number, cell in enumerate(cells, 1)},
        "Forages": {number: {"forage": str(number), "kind": "other"}
                    for number in range(1, len(cells) + 1)},
        "Quality": {number: {"override.tdn": cell.get("forage_tdn_pct_dm"),
                             "override.ndf": cell.get("forage_ndf_pct_dm")}
                    for number, cell in enumerate(cells, 1)},
    }
    sizes = SMALLEST | {"group": len(cells), "forage": len(cells)}
    ranch = Ranch(entries, {"first_month": month}, sizes, us=False)
    found = Values(make(ranch), ranch)
    return [_answer(number, note, cell["class_name"]) for number, note, cell in zip(
        found.column("Needs", column), found.column("Herd", "note"), cells, strict=True)]


def _group(number, cell):
    return {"group": str(number), "class_name": cell["class_name"], "head": 1,
            "weight": cell["shrunk_weight_kg"], "weighed_shrunk": "yes",
            "first_calf_on": _day(cell["calves_on"]), "calving_season_days": 1,
            "peak_milk": cell["peak_milk_kg_per_day"], "gain": cell["gain_kg_per_day"],
            "mature_weight": cell["mature_weight_kg"], "usual_forage": str(number)}


def _day(number):
    return None if number is None else EPOCH + dt.timedelta(int(number))


def _answer(number, note, class_name):
    """The number; without one, what is missing for it."""
    classes = [row["class"] for row in rows_of("classes")]
    if class_name.casefold() not in classes:
        return f"{MARK}Class is '{class_name}'; expected {', '.join(classes)}."
    if np.isfinite(number):
        return float(number)
    return MARK + (note.strip() if note else "It cannot be worked out from these values.")
