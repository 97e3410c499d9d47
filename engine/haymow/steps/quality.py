"""From what a lab reports to what a forage or feed holds in each month."""

import numpy as np

from ..dialect import chosen as chosen_of
from ..dialect import month_of_year, only_if, ratio, typed_or, working
from ..equations.forage import (
    feed_de_mcal_per_kg,
    feed_me_mcal_per_kg,
    feed_nem_mcal_per_kg,
    tdn_from_adf_pct_dm,
)
from ..equations.nitrate import no3n_from_kno3_ppm_dm, no3n_from_nitrate_ppm_dm

__all__ = [
    "between", "dm_factor_as_fed", "dm_known_pct_as_fed", "dry_matter", "dry_matter_dm",
    "dry_matter_ivdmd", "dry_matter_ndfd48", "dry_matter_nem", "dry_matter_no3n", "dry_matter_rdp",
    "dry_matter_tdn", "dry_matter_vita", "dry_matter_vitd", "dry_matter_vite", "has_samples",
    "own_quality", "own_quality_cp", "own_quality_dm", "own_quality_nem", "own_quality_p",
    "own_quality_rdp", "own_quality_tdn", "quality_me_mcal_per_kg", "rdp_part", "rdp_part_season",
    "rdp_part_usual", "rdp_share_pct_of_cp", "rdp_used_pct_of_cp", "row_after", "row_before",
    "sample_me_mcal_per_kg", "sample_moy", "sample_no3n_ppm_dm", "sample_tdn_from_adf_pct_dm",
    "tag", "tag_ivdmd", "tag_me_mcal_per_kg", "tag_ndfd48", "tag_vita", "tag_vitd", "tag_vite",
    "tdn_from_report_pct_dm", "tdn_known", "to_dm",
]

AIR_DRY = 100 / 90  # to dry matter, from the 90 % that feed tables call air dry


@working
def dm_factor_as_fed(dm_known_pct_as_fed):
    """What an as-fed value is multiplied by to stand on dry matter."""
    return 100 / dm_known_pct_as_fed


@working
def to_dm(basis_no, dm_factor_as_fed):
    """Factor to dry matter: 1 dry matter, 2 as fed, 3 air dry (90 % DM)."""
    return chosen_of(basis_no, 1.0, dm_factor_as_fed, AIR_DRY)


@working
def dm_known_pct_as_fed(reported_dm):
    """Dry matter as reported."""
    return reported_dm * 1


@working
def dry_matter(reported, to_dm):
    """A reported value on dry matter."""
    return reported * to_dm


@working
def dry_matter_dm(to_dm):
    """Dry matter itself: all of it."""
    return np.where(to_dm > 0, 100.0, 0.0)


@working
def tdn_from_report_pct_dm(reported_tdn, to_dm):
    """TDN that the report prints, on dry matter."""
    return reported_tdn * to_dm


@working
def dry_matter_tdn(tdn_from_report_pct_dm, tdn_from_adf_pct_dm):
    """TDN as reported; without one, from ADF."""
    return typed_or(tdn_from_report_pct_dm, tdn_from_adf_pct_dm)


@working
def sample_tdn_from_adf_pct_dm(dry_matter_adf, tdn_at_no_adf_pct, tdn_per_adf):
    """TDN from ADF by the line of the forage's kind."""
    return tdn_from_adf_pct_dm(dry_matter_adf, tdn_at_no_adf_pct, tdn_per_adf)


@working
def tdn_known(dry_matter_tdn):
    """TDN in use."""
    return dry_matter_tdn * 1


@working
def tag(reported, to_dm):
    """A value of a tag, on dry matter."""
    return reported * to_dm


@working
def tag_ndfd48(reported_ndfd48):
    """Digestibility of the NDF: no part of the dry matter, so no change of basis."""
    return reported_ndfd48 * 1


@working
def rdp_share_pct_of_cp(reported_rdp):
    """Rumen-degradable protein as reported, a share of the CP."""
    return reported_rdp * 1


@working
def rdp_used_pct_of_cp(rdp_share_pct_of_cp, rdp_pct_of_cp):
    """Reported, else that of the kind of forage."""
    return typed_or(rdp_share_pct_of_cp, rdp_pct_of_cp)


@working
def dry_matter_rdp(dry_matter_cp, rdp_used_pct_of_cp):
    """Rumen-degradable protein in dry matter."""
    return dry_matter_cp * rdp_used_pct_of_cp / 100


@working
def dry_matter_ivdmd(reported_ivdmd):
    """Digestibility of the dry matter itself: no change of basis."""
    return reported_ivdmd * 1


@working
def tag_ivdmd(reported_ivdmd):
    """Digestibility of the dry matter of a feed: no change of basis."""
    return reported_ivdmd * 1


@working
def dry_matter_ndfd48(reported_ndfd48):
    """Digestibility of the NDF: no part of the dry matter, so no change of basis."""
    return reported_ndfd48 * 1


@working
def sample_no3n_ppm_dm(reported_no3n, to_dm, form_no):
    """Nitrate as nitrogen, from the form the laboratory prints: 1 NO3-N, 2 NO3, 3 KNO3."""
    dry = reported_no3n * to_dm
    return chosen_of(form_no, dry, no3n_from_nitrate_ppm_dm(dry), no3n_from_kno3_ppm_dm(dry))


@working
def dry_matter_no3n(no3n_ppm_dm):
    """Nitrate nitrogen; unknown where the form is not said."""
    return no3n_ppm_dm * 1


@working
def dry_matter_vita(reported_vita, to_dm, kg_per_weight_unit):
    """Vitamin A, tags print it by the pound."""
    return reported_vita * to_dm / kg_per_weight_unit


@working
def dry_matter_vitd(reported_vitd, to_dm, kg_per_weight_unit):
    """Vitamin D, tags print it by the pound."""
    return reported_vitd * to_dm / kg_per_weight_unit


@working
def dry_matter_vite(reported_vite, to_dm, kg_per_weight_unit):
    """Vitamin E, tags print it by the pound."""
    return reported_vite * to_dm / kg_per_weight_unit


@working
def tag_vita(reported_vita, to_dm, kg_per_weight_unit):
    """Vitamin A of a tag."""
    return reported_vita * to_dm / kg_per_weight_unit


@working
def tag_vitd(reported_vitd, to_dm, kg_per_weight_unit):
    """Vitamin D of a tag."""
    return reported_vitd * to_dm / kg_per_weight_unit


@working
def tag_vite(reported_vite, to_dm, kg_per_weight_unit):
    """Vitamin E of a tag."""
    return reported_vite * to_dm / kg_per_weight_unit


@working
def sample_me_mcal_per_kg(dry_matter_tdn):
    """ME from the TDN."""
    return feed_me_mcal_per_kg(feed_de_mcal_per_kg(dry_matter_tdn))


@working
def tag_me_mcal_per_kg(dry_matter_tdn):
    """ME from the TDN."""
    return feed_me_mcal_per_kg(feed_de_mcal_per_kg(dry_matter_tdn))


@working
def dry_matter_nem(feed_me_mcal_per_kg):
    """NEm from the ME, never as a lab prints it: labs use several energy systems."""
    return feed_nem_mcal_per_kg(feed_me_mcal_per_kg)


@working
def sample_moy(sampled_on):
    """Month of the year the sample was taken in."""
    return month_of_year(sampled_on)


@working
def has_samples(month_samples):
    """1 in a month with samples, else blank."""
    return only_if(month_samples > 0, month_samples / month_samples)


@working
def row_before(before, after):
    """Row of the last month with a sample; before the first one, that one."""
    return only_if(before + after > 0, before + (before == 0) * after)


@working
def row_after(before, after):
    """Row of the next month with a sample; after the last one, that one."""
    return only_if(before + after > 0, after + (after == 0) * before)


@working
def between(value_before, value_after, row_before, row_after, row_no, changes):
    """A straight line between months with samples, for forage that changes with the season."""
    share = (row_no - row_before) / np.maximum(row_after - row_before, 1)
    return only_if(changes > 0, value_before + (value_after - value_before) * share)


@working
def own_quality(override, between, usual):
    """The user's own value; else between the samples of the season; else as usual."""
    return typed_or(override, typed_or(between, usual))


@working
def own_quality_cp(override, curved_cp, between, usual):
    """The user's own value; else the shifted curve, or between samples; else as usual."""
    return typed_or(override, typed_or(curved_cp, typed_or(between, usual)))


@working
def own_quality_tdn(override, curved_tdn, between, usual):
    """The user's own value; else the shifted curve, or between samples; else as usual."""
    return typed_or(override, typed_or(curved_tdn, typed_or(between, usual)))


@working
def own_quality_p(override, curved_p, between, usual):
    """The user's own value; else the shifted curve, or between samples; else as usual."""
    return typed_or(override, typed_or(curved_p, typed_or(between, usual)))


@working
def rdp_part_season(between_rdp, between_cp):
    """Degradable part of the CP, between samples."""
    return ratio(between_rdp, between_cp, 0.0)


@working
def rdp_part_usual(usual_rdp, usual_cp):
    """Degradable part of the CP, as usual."""
    return ratio(usual_rdp, usual_cp, 0.0)


@working
def rdp_part(rdp_part_season, rdp_part_usual):
    """Degradable part of the CP: between samples, else as usual."""
    return typed_or(rdp_part_season, rdp_part_usual)


@working
def own_quality_rdp(own_quality_cp, rdp_part):
    """Rumen-degradable protein follows the CP in use."""
    return own_quality_cp * rdp_part


@working
def own_quality_dm(changes):
    """Dry matter itself: all of it, of a forage whose kind is known."""
    return np.where(changes >= 0, 100.0, 0.0)


@working
def quality_me_mcal_per_kg(own_quality_tdn):
    """ME from the TDN."""
    return feed_me_mcal_per_kg(feed_de_mcal_per_kg(own_quality_tdn))


@working
def own_quality_nem(feed_me_mcal_per_kg):
    """NEm from the ME."""
    return feed_nem_mcal_per_kg(feed_me_mcal_per_kg)
