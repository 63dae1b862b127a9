// Copyright 2026 the rowcall developers
// SPDX-License-Identifier: MIT

// The rules, the models and their sources.

#include "report/document_pages.h"

static const char *const rules[] = {
  "What is counted",
  "The music as played: parts in their order, repeats unrolled; a chord held or written again right after itself is "
  "one "
  "chord of the whole length. Native, A to E, none and unread add up to all chords and to the whole playing time in "
  "quarter notes. N.C. counts nowhere. A tune is native when all its chords are, playable when each has the accepted "
  "grade or better, and one short when a single different chord keeps it from that.",
  "The verdicts",
  "Pitch classes decide. A symbol asks for root, third or sus tone, fifth, sixth or seventh, and the tensions it "
  "names; "
  "11 and 13 name none below. Never missing: the 9 below an 11 or 13, the third of a dominant 11, and under a chord "
  "button "
  "the perfect fifth beside a sixth, seventh or sus tone. Native: the wanted bass and a chord button of the chord's "
  "own "
  "root and kind. A same: nothing missing, nothing foreign. B richer: foreign tones are usual tensions of this chord "
  "that "
  "the key has, or the b9 or b13 of a dominant that leads to a minor triad of the key. C leaner: root and third sound, "
  "fifth, sixth, seventh or tensions are missing, foreign tones as in B; or the root is in the bass and a written bass "
  "only sounds. D bare: bass and root, the third missing in a chord of less than a second or where the melody has it. "
  "E "
  "borrowed: one or two buttons with two tones or more in common, root or third among them, and fewer foreign ones, "
  "usual "
  "though the key may lack them. None: no grip of one bass, or two or three neighbouring ones, and up to two chord "
  "buttons "
  "fits any of these; then the bass alone, or rest. With three buttons at most one tone is foreign.",
  "Tempo",
  "Where a tune states no tempo, the usual one of its rhythm is assumed, or of a dance that its title, group or file "
  "names, or else of its meter; that table is common practice.",
  "Key",
  "The one a tune states. Where it states none, the major or minor key is assumed that its chords suggest: by their "
  "tones, the time of the tonic chord, where dominants lead, the first chord and the last.",
  "The order of grips",
  "One or two buttons that give native to C, at an accepted grade, before any three, unless sound was preferred; then "
  "the "
  "better verdict, the right bass, fewer foreign tones, fewer missing ones, fewer basses, higher likeness, fewer "
  "buttons, "
  "smaller reach, nearer to C and G, the row nearest the bellows and the flattest column: a total order, so that "
  "nothing "
  "depends on chance.",
  "Likeness",
  "Spectral pitch-class similarity: A. J. Milne, W. A. Sethares, R. Laney, D. B. Sharp (2011), Modelling the "
  "similarity of "
  "pitch collections with expectation tensors, J. Mathematics and Music 5(1); parameters of A. J. Milne, S. Holland "
  "(2016), "
  "Empirically testing Tonnetz, voice-leading, and spectral models of perceived triadic distance, J. Mathematics and "
  "Music "
  "10(1): 12 harmonics, roll-off 0.75, 6.83 cents, 1200 bins; each chord with its basses sounded once more.",
  "Perceived root",
  "R. Parncutt (1988), Revision of Terhardt's psychoacoustical model of the root(s) of a musical chord, Music "
  "Perception 6(1).",
  "The hand",
  "Different fingers in the order of the buttons, none further apart than its span: the practical maximum of R. "
  "Parncutt, J. A. Sloboda, E. F. Clarke, M. Raekallio, P. Desain (1997), An Ergonomic Model of Keyboard Fingering for "
  "Melodic Fragments, Music Perception 14(4). A grip beyond the comfortable one is wide. Leaps (over 60 mm after a "
  "chord of less than a second) are from memory. Routes are exact: each chord by the order above, down to reach, then "
  "the fewest wide "
  "grips, then turns of the bellows where these change notes, then travel, a chord held the same way each time unless "
  "another saves over 32 mm; where ease was preferred, sound last, among native, A and B grips of one or two buttons; "
  "where "
  "turns were to keep apart, before all the fewest that do not.",
  "Colours",
  "One sequential scale, ColorBrewer's YlGnBu with nine classes, safe for colour-blind eyes and even in grey.",
};

void
rc_section_rules(RcDocument *d)
{
  static const char heading[] = "Rules and sources";
  rc_document_begin(
    d, heading, heading,
    "So that a stranger can check any number here. The program's RULES.md holds the same rules in full; its tests "
    "hold them against published tables.",
    NULL);
  for (guint i = 0; i + 1 < G_N_ELEMENTS(rules); i += 2) {
    rc_pages_need(&d->pages, 12 + rc_text_height(RC_TEXT_BODY, d->pages.text_width, 0, rules[i + 1]) + 8, heading);
    rc_pages_text(&d->pages, RC_TEXT_STRONG, rules[i]);
    rc_pages_text(&d->pages, RC_TEXT_BODY, rules[i + 1]);
    d->pages.y += 8;
  }
  GString *text = g_string_new(NULL);
  g_string_append_printf(text, "%s: %s.", d->layout->name, d->layout->title);
  for (guint i = 0; i < d->layout->sources->len; ++i) {
    g_string_append_printf(text, " %s.", (const char *)g_ptr_array_index(d->layout->sources, i));
  }
  rc_pages_need(&d->pages, 12 + rc_text_height(RC_TEXT_BODY, d->pages.text_width, 0, text->str), heading);
  rc_pages_text(&d->pages, RC_TEXT_STRONG, "The keyboard");
  rc_pages_text(&d->pages, RC_TEXT_BODY, text->str);
  g_string_free(text, TRUE);
}
