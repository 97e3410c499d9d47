"""The pictures of the report: supply against need, forage through the year, costs by month.

Each is an SVG text that stands for itself. The same frames give the same text. What cannot be seen
is said in words beside it, so each picture comes with a text that replaces it.
"""

from __future__ import annotations

import io
from collections.abc import Iterator, Sequence
from contextlib import contextmanager
from typing import TYPE_CHECKING, Any, NamedTuple

import numpy as np

if TYPE_CHECKING:
    import pandas as pd

__all__ = ["Picture", "costs", "curve", "supply"]

FORAGE, FEEDS, NEED, QUIET = "#9cc48a", "#d98d3a", "#1a1a1a", "#666666"
STYLE: dict[Any, Any] = {"svg.fonttype": "none", "svg.hashsalt": "haymow", "text.parse_math": False,
         "font.family": "sans-serif", "font.size": 8.0, "axes.titlesize": 9.0,
         "axes.spines.top": False, "axes.spines.right": False, "hatch.linewidth": 0.6}
ACROSS, WIDTH_IN, PANEL_IN = 3, 7.6, 1.75
TOP_IN, BOTTOM_IN = 0.22, 0.4
MOST_TICKS = 7
CURVES = ("CP", "TDN")  # the nutrients whose course through the year is drawn


class Picture(NamedTuple):
    """An SVG text, and the words for those who do not see it."""

    svg: str
    words: str


def supply(balance: pd.DataFrame) -> Picture:
    """One group's supply against its need by month, a panel a nutrient."""
    nutrients = list(dict.fromkeys(balance["nutrient"]))
    down = -(-(len(nutrients) + 1) // ACROSS)
    with _figure(down * PANEL_IN) as figure:
        panels = figure.subplots(down, ACROSS, squeeze=False).ravel()
        for panel, nutrient in zip(panels, nutrients, strict=False):
            _against(panel, balance[balance["nutrient"] == nutrient], nutrient)
        for panel in panels[len(nutrients):]:
            panel.axis("off")
        _key(panels[len(nutrients)])
        svg = _svg(figure)
    return Picture(svg, " ".join(_met(balance)))


def _against(panel: Any, rows: pd.DataFrame, nutrient: str) -> None:
    """Forage and feeds stacked, the need as a line over them, "?" where one is not known."""
    x = np.arange(len(rows))
    forage, feeds = (rows[name].to_numpy(float) for name in ("from_forage", "from_feeds"))
    need = rows["need"].to_numpy(float)
    panel.bar(x, np.nan_to_num(forage), color=FORAGE)
    panel.bar(x, np.nan_to_num(feeds), bottom=np.nan_to_num(forage), color=FEEDS, hatch="////",
              edgecolor="white", linewidth=0)
    panel.plot(x, need, color=NEED, marker="_", markersize=9, linewidth=1.2)
    for at in np.flatnonzero(np.isnan(forage) | np.isnan(feeds) | np.isnan(need)):
        panel.annotate("?", (at, 0.04), xycoords=("data", "axes fraction"), ha="center",
                       color=NEED, weight="bold")
    panel.set_title(f"{nutrient}, {rows['unit'].iloc[0]}", loc="left")
    _months(panel, rows["month"])


def _key(panel: Any) -> None:
    """What the colors mean, in words."""
    from matplotlib.lines import Line2D
    from matplotlib.patches import Patch

    panel.legend(handles=[
        Line2D([], [], color=NEED, marker="_", markersize=9, label="need"),
        Patch(facecolor=FEEDS, hatch="////", edgecolor="white", linewidth=0, label="from feeds"),
        Patch(facecolor=FORAGE, label="from forage")], loc="center left", frameon=False,
        title="A head and day; ?: not known", alignment="left")


def _met(balance: pd.DataFrame) -> Iterator[str]:
    """For each nutrient how much of the need the whole diet brings at least."""
    for nutrient, rows in balance.groupby("nutrient", sort=False):
        known = rows["pct_of_need"].dropna()
        least = f"at least {int(known.min())} % of need" if len(known) else "not known"
        unknown = rows["still_short"].isna().sum()
        short = int((rows["still_short"] == 1).sum())
        yield (f"{nutrient}: whole diet {least}, still short in {short} of {len(rows)} months"
               + (f", not known in {unknown}." if unknown and len(known) else "."))


def curve(quality: pd.DataFrame, samples: pd.DataFrame) -> Picture:
    """One forage's CP and TDN through the months of the plan, with its samples."""
    drawn = [n for n in CURVES if n in set(quality["nutrient"])]
    with _figure(2.4) as figure:
        panels = figure.subplots(1, len(drawn), squeeze=False).ravel()
        for panel, nutrient in zip(panels, drawn, strict=True):
            of, tested = (frame[frame["nutrient"] == nutrient] for frame in (quality, samples))
            panel.plot(np.arange(len(of)) + 0.5, of["content"].to_numpy(float), color=NEED,
                       linewidth=1.2)
            for at, row in _placed(of["month"], tested):
                panel.plot([at], [row["content"]], "o", color=FEEDS, markeredgecolor=NEED)
                panel.annotate(str(row["sample_id"]), (at, row["content"]), color=QUIET,
                               textcoords="offset points", xytext=(4, 4), fontsize=7)
            panel.set_title(f"{nutrient}, {of['unit'].iloc[0]}", loc="left")
            _months(panel, of["month"], 0.5)
        svg = _svg(figure)
    return Picture(svg, " ".join(_tested(samples[samples["nutrient"].isin(drawn)])))


def _placed(months: pd.Series[Any], samples: pd.DataFrame
            ) -> Iterator[tuple[float, dict[Any, Any]]]:
    """Where samples stand on the axis: a sample of any year stands for its month."""
    at = {month.month: number for number, month in reversed(list(enumerate(months)))}
    for row in samples.dropna(subset=["sampled_on"]).to_dict("records"):
        day = row["sampled_on"]
        if day.month in at:
            yield at[day.month] + (day.day - 0.5) / day.days_in_month, row


def _tested(samples: pd.DataFrame) -> Iterator[str]:
    for row in samples.to_dict("records"):
        day = row["sampled_on"]
        told = f"{day:%b %d, %Y}" if day == day else "day not known"
        yield f"Sample {row['sample_id']} ({told}): {row['nutrient']} {row['content']:.1f}."


def costs(budget: pd.DataFrame) -> Picture:
    """Dollars by month; a month of which something is not known says so."""
    with _figure(2.4) as figure:
        panel = figure.subplots()
        usd = budget["cost_usd"].to_numpy(float)
        bars = panel.bar(np.arange(len(usd)), np.nan_to_num(usd), color=FEEDS)
        unknown = budget["not_known"].to_numpy() > 0
        panel.bar_label(bars, [f"{value:,.0f}{' + ?' if more else ''}" for value, more
                               in zip(usd, unknown, strict=True)], fontsize=7, color=QUIET)
        panel.set_title("Cost by month, $", loc="left")
        _months(panel, budget["month"])
        svg = _svg(figure)
    told = (f"{month:%b %Y}: {'at least ' if more else ''}${value:,.0f}." for month, value, more
            in zip(budget["month"], usd, unknown, strict=True))
    return Picture(svg, " ".join(told))


def _months(panel: Any, months: Sequence[Any] | pd.Series[Any], shift: float = 0.0) -> None:
    """A word for each month, or for every second or third where there are many."""
    shown = range(0, len(months), -(-len(months) // MOST_TICKS))
    words, year = [], 0
    for month in (list(months)[at] for at in shown):
        words.append(f"{month:%b}" if month.year == year else f"{month:%b}\n{month.year}")
        year = month.year
    panel.set_xticks([at + shift for at in shown], words)
    panel.tick_params(length=2, colors=QUIET)


@contextmanager
def _figure(height_in: float) -> Iterator[Any]:
    """A figure that no other drawing of this process touches."""
    from matplotlib import rc_context
    from matplotlib.figure import Figure

    with rc_context(STYLE):
        figure = Figure(figsize=(WIDTH_IN, height_in))
        figure.subplots_adjust(left=0.06, right=0.99, top=1 - TOP_IN / height_in,
                               bottom=BOTTOM_IN / height_in, wspace=0.2, hspace=0.55)
        yield figure


def _svg(figure: Any) -> str:
    """The figure as text, from its first tag on, without day and place of making."""
    text = io.StringIO()
    figure.savefig(text, format="svg", transparent=True,
                   metadata={"Date": None, "Creator": None})
    written = text.getvalue()
    return written[written.index("<svg"):]
