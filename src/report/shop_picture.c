#include "shop_words.h"
GBytes *
rc_report_shop_picture(const RcShop *shop, const RcTally *tally, const RcStandings *standings, RcPicture picture,
                       const RcImprint *imprint, GError **error)
{
  (void)shop;
  (void)tally;
  (void)standings;
  (void)picture;
  (void)imprint;
  (void)error;
  return NULL;
}
