// Copyright 2026 the rowcall developers
// SPDX-License-Identifier: MIT

// In place of what draws, in a build without pictures.

#include "rowcall/error.h"
#include "rowcall/report.h"

gboolean
rc_draws_pictures(void)
{
  return FALSE;
}

static GBytes *
draw_nothing(GError **error)
{
  rc_fail(error, RC_ERROR_IO, (RcPlace){ NULL, 0, 0 }, "this build draws no pictures");
  return NULL;
}

GBytes *
rc_report_compare_picture(const RcComparison *comparison G_GNUC_UNUSED, RcPicture picture G_GNUC_UNUSED,
                          const RcImprint *imprint G_GNUC_UNUSED, GError **error)
{
  return draw_nothing(error);
}

GBytes *
rc_report_sizes_picture(const RcSwept *swept G_GNUC_UNUSED, RcPicture picture G_GNUC_UNUSED,
                        const RcImprint *imprint G_GNUC_UNUSED, GError **error)
{
  return draw_nothing(error);
}

GBytes *
rc_report_heat_picture(const RcUse *use G_GNUC_UNUSED, const RcRoll *roll G_GNUC_UNUSED, RcPaper paper G_GNUC_UNUSED,
                       RcPicture picture G_GNUC_UNUSED, const RcImprint *imprint G_GNUC_UNUSED, GError **error)
{
  return draw_nothing(error);
}

GBytes *
rc_report_heat_pair_picture(const RcHeatBeside *beside G_GNUC_UNUSED, RcPaper paper G_GNUC_UNUSED,
                            RcPicture picture G_GNUC_UNUSED, const RcImprint *imprint G_GNUC_UNUSED, GError **error)
{
  return draw_nothing(error);
}

GBytes *
rc_report_shop_picture(const RcShop *shop G_GNUC_UNUSED, const RcTally *tally G_GNUC_UNUSED,
                       const RcStandings *standings G_GNUC_UNUSED, RcPicture picture G_GNUC_UNUSED,
                       const RcImprint *imprint G_GNUC_UNUSED, GError **error)
{
  return draw_nothing(error);
}

GBytes *
rc_report_layout_picture(const RcLayout *layout G_GNUC_UNUSED, RcPicture picture G_GNUC_UNUSED,
                         const RcImprint *imprint G_GNUC_UNUSED, GError **error)
{
  return draw_nothing(error);
}

GBytes *
rc_report_ladder_picture(const RcLadder *ladder G_GNUC_UNUSED, RcPaper paper G_GNUC_UNUSED,
                         RcPicture picture G_GNUC_UNUSED, const RcImprint *imprint G_GNUC_UNUSED, GError **error)
{
  return draw_nothing(error);
}

GBytes *
rc_report_document(const RcReport *report G_GNUC_UNUSED, const RcReportLook *look G_GNUC_UNUSED,
                   RcPicture picture G_GNUC_UNUSED, const RcImprint *imprint G_GNUC_UNUSED, GError **error)
{
  return draw_nothing(error);
}

RcSheets *
rc_sheets_start(const RcLayout *layout G_GNUC_UNUSED, RcPicture picture G_GNUC_UNUSED, RcPaper paper G_GNUC_UNUSED,
                const RcImprint *imprint G_GNUC_UNUSED)
{
  return NULL;
}

void
rc_sheets_add(RcSheets *sheets G_GNUC_UNUSED, const RcTune *tune G_GNUC_UNUSED, const RcChart *chart G_GNUC_UNUSED)
{
}

guint
rc_sheets_pages(const RcSheets *sheets G_GNUC_UNUSED)
{
  return 0;
}

GBytes *
rc_sheets_finish(RcSheets *sheets G_GNUC_UNUSED, GError **error)
{
  return draw_nothing(error);
}
