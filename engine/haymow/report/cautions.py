"""The cautions that go with every report: what can kill, and whom to ask."""

from ..workbook.pages import CAUTIONS

__all__ = ["ALL", "FOR_FEEDING"]

MORE = (  # common practice, no source, unless one is named
    "Urea and other nonprotein nitrogen: never to hungry cattle, never more than the label says,"
    " and mixed evenly; raw soybeans never together with urea.",
    "Nitrate: forage of drought, frost or heavy manure is tested before it is fed; a high one"
    " only as a veterinarian or local extension advises.",
    "Copper: feeds and minerals for cattle can kill sheep. Keep them apart, in the truck too.",
    "Selenium: what need and poison part is little. Feed law limits what may be added; count all"
    " feeds, water and injections before more is given.",
    "Spoiled feed: moldy, rotten or wrongly fermented feed is not fed. It can kill or abort.",
    "Cold and wet: the need rises further than can be fed. Shelter, wind breaks and dry bedding"
    " come first; the sheet Storm has the figures.",
    "Injections and medicines: only as the label or your veterinarian says, with the days to wait"
    " before slaughter.",
)
ALL = (*CAUTIONS, *MORE)

FOR_FEEDING = (  # on the page of whoever feeds; common practice, no source
    "Weigh a bucket or a load of each feed once, so that pounds or kilograms are what is fed.",
    "Feed where all animals can eat at the same time. Do not make up for a missed day at once.",
    "Change a feed or its amount slowly. Moldy or spoiled feed, a dead or staggering animal: stop"
    " feeding, keep the others from it, and call the owner or the veterinarian.",
    "Feeds and minerals for cattle are kept away from sheep.",
)
