// Copyright 2026 the rowcall developers
// SPDX-License-Identifier: MIT

// Writes npm-chords.tsv, the table of chord symbols as two npm packages read them, for test_chord_tables.c.
//
// Usage, in an empty scratch folder outside the source tree:
//
//   npm install --no-save --no-package-lock chord-symbol@4.0.0 @tonaljs/chord-type@5.1.1
//   node TREE/tests/reference/npm-chords.mjs > TREE/tests/reference/npm-chords.tsv
//
// where TREE is the source tree. The packages are looked for in the current folder; other versions are refused.
// (@tonaljs/chord-type 5.2.0 cannot be loaded: its package.json names a file that the package does not hold.)

import { readFileSync } from "node:fs";
import { createRequire } from "node:module";
import { join } from "node:path";

const PARSER = { name: "chord-symbol", version: "4.0.0" };
const LIST = { name: "@tonaljs/chord-type", version: "5.1.1" };

// The lead-sheet spellings given to chord-symbol, separated by spaces. One that holds a space is in WITH_SPACES.
const SPELLINGS = [
  // Triads.
  "C CM Cma Cmaj CMa CMaj Cmajor CMajor CMAJ C^",
  "Cm Cmi Cmin C- Cminor CMi CMin CMIN",
  "Cdim Co C° CDIM Cdim. Cdiminished Cmb5 Cm(b5) Cm-5",
  "Caug C+ C#5 C+5 C(#5) C(+5) CAUG Caugmented Cm#5 Cm(#5) Cm+5 Cm+",
  "C(b5) C-5 C(-5) Cb5",
  // Suspended chords.
  "Csus Csus2 Csus4 CSUS CSus4 C(sus4) C(sus) C4 C2 C(4) C(2) Csus24 Csus2sus4 Csuspended",
  "C7sus C7sus2 C7sus4 C7(sus4) C7SUS4 Csus7 Csus47 Csus4(7) C9sus C9sus4 C9(sus4) Csus9 C13sus C13sus4 C13(sus4)",
  "C11sus C11sus4 C7susb9 C7sus4b9 C7sus4(b9) C7b9sus C7b9sus4 C7(b9)sus4 C7(b9,sus4) C13susb9 C13sus4(b9) C13b9sus4",
  "Cmaj7sus4 CM7sus4 Cmaj7sus2 Cmaj9sus4 C6sus4 Csus4add9 Csus4(add9) Csus(add9) Csus2add13 Cm7sus4 C7alt/E",
  "C4/7 C7/4",
  // Sixths.
  "C6 CM6 Cmaj6 C(6) Cadd6 C(add6) C6/9 C69 C6(9) C6(add9) C6add9 C6/9/E CM69 CM6/9 Cmaj69 C6(#11) C6/9(#11) C69#11",
  "Cm6 Cmi6 Cmin6 C-6 Cm(6) Cm6/9 Cm69 Cmin6/9 C-6/9 Cm6(9) Cm6(add9) Cm6add9 Cb6 C(b6) Cmb6 Cm(b6)",
  // Sevenths.
  "C7 C(7) Cdom7 Cdom C7th",
  "CM7 Cma7 Cmaj7 CMa7 CMaj7 CMAJ7 C^7 CΔ CΔ7 Cmaj CMajor7 Cmajor7 C(maj7) C(M7) Cj7 Cmaj.7 C7M",
  "Cm7 Cmi7 Cmin7 C-7 Cm(7) Cminor7 CMin7 CMI7 CMIN7 CMA7",
  "CmM7 Cmmaj7 Cm(maj7) Cm(M7) CmMaj7 CmiMa7 Cmimaj7 Cminmaj7 C-maj7 C-M7 C-Δ C-Δ7 CmΔ CmΔ7 C-^7 Cm/maj7 Cm/M7 Cm#7",
  "Cmin(maj7) Cmi(ma7) C-(maj7) CminMaj7 Cm/ma7 Cm+7",
  "Cdim7 Co7 C°7 Cdiminished7 CDim7 Cdim(7) C7dim Cdim(maj7) Cdimmaj7 C°maj7 CoM7 C°(maj7)",
  "Cø Cø7 CØ CØ7 Cm7b5 Cm7(b5) Cm7-5 Cmi7b5 Cmi7(b5) Cmin7b5 C-7b5 C-7(b5) Cm7♭5 Cm7(♭5) Ch Ch7 Cmin7(b5) Cm7(-5)",
  "Caug7 C+7 C7+ C7+5 C7#5 C7(#5) C7(+5) C7aug C7♯5 Caug(7) C+maj7 CM7#5 Cmaj7#5 Cmaj7(#5) Caugmaj7 C+M7 CM7+5",
  "Cmaj7+5 Cmaj7+ CmM7b5 Cm7#5 Cm7(#5) Cm7+5",
  "C7b5 C7(b5) C7-5 C7(-5) C7♭5 CM7b5 Cmaj7b5 Cmaj7(b5) Cmaj7-5",
  // Ninths.
  "C9 C(9) C7(9) C7/9 C7add9 C7(add9) CM9 Cmaj9 Cma9 CMaj9 C^9 CΔ9 Cmaj7(9) Cmaj7/9 Cmaj7add9 Cmaj7(add9)",
  "Cm9 Cmi9 Cmin9 C-9 Cm7(9) Cm7add9 Cm7(add9) CmM9 Cmmaj9 Cm(maj9) CmMaj9 C-maj9 Cm(maj7)9",
  "C9b5 C9(b5) C9-5 C9#5 C9(#5) C9+5 C+9 C9+ Caug9 C9aug CM9#5 Cmaj9#5 Cmaj9b5 Cm9b5 Cm9(b5) Cø9 Cdim9",
  "C7b9 C7(b9) C7-9 C7(-9) C7♭9 C7(♭9) C7#9 C7(#9) C7+9 C7(+9) C7♯9 C7(♯9) Cm7b9 Cm7(b9) Cm7#9 C7addb9 C7(addb9)",
  "C+7b9 C+7#9 Caug7b9 Caug7#9 C7+b9 C7+#9 C7#5b9 C7#5#9 C7b5b9 C7b5#9 C7b9b5 C7b9#5 C7#9#5 C7#9b5",
  "C7(b5b9) C7(b5,b9) C7(b5)(b9) C7(#5b9) C7(#5,b9) C7(#5#9) C7(#5,#9) C7(#5)(#9) C7(b5,#9) C7b9#9 C7(b9,#9)",
  "C7(b9/b5) C7/b9 C7/#9 C7/b5 C7b9(#5) C7#9(#5) C7(b9)(#5) C7(♭9,♯5) C7♯5♯9 Cdim7b9 Cdim7(add9)",
  // Elevenths.
  "C11 CM11 Cmaj11 Cma11 CΔ11 Cm11 Cmi11 Cmin11 C-11 CmM11 Cm(maj11) Cm11b5 Cm11(b5) Cø11 C9(11) C7(11) C7add11",
  "C7(add11) Cm7(11) Cm7(add11) Cm7add11 Cm9(11) Cmaj7(add11) C11b9 C11(b9) C7(9,11) Cdim11",
  "C7#11 C7(#11) C7+11 C7(+11) C7♯11 C9#11 C9(#11) C9+11 CM7#11 Cmaj7#11 Cmaj7(#11) CM9#11 Cmaj9#11 Cmaj9(#11)",
  "Cm7#11 Cm9#11 Cm11#11 C7b9#11 C7#9#11 C7(b9,#11) C7(#9,#11) C7(b9#11) C7(b9)(#11) C+7#11 C11#11 CΔ#11 CΔ7#11",
  "C#11 C(#11) CM#11 Cmaj#11",
  // Thirteenths.
  "C13 CM13 Cmaj13 Cma13 CΔ13 Cm13 Cmi13 Cmin13 C-13 CmM13 Cm(maj13) C9(13) C7(13) C7add13 C7(add13) C7(6) C7/6 C7add6",
  "C7/13 C7(9,13) C9add13 C9(add13) Cm7(13) Cm7add13 Cm7(add13) Cmaj7(13) Cmaj7(add13) Cmaj9(13) Cm9(13)",
  "C13b5 C13(b5) C13#5 C13b9 C13(b9) C13-9 C13#9 C13(#9) C13#11 C13(#11) C13+11 CM13#11 Cmaj13#11 Cmaj13(#11) Cø13",
  "C13b5b9 C13(b5,b9) C13b9#11 C13(b9,#11) C13#9#11 C13(#9,#11) C13#9b5",
  "C7b13 C7(b13) C7-13 C7♭13 C9b13 C9(b13) C7b9b13 C7(b9,b13) C7(b9b13) C7#9b13 C7(#9,b13) C7#11b13 C7(#11,b13) C11b13",
  "C7(b9,#11,b13) C7(b9,#9,#11) C7b9#9#11b13 Cm7b13 Cmaj7b13",
  // Altered.
  "C7alt C7(alt) Calt C7alt. C7ALT C7altered Caltered",
  // Added and left-out tones.
  "Cadd9 C(add9) Cadd2 C(add2) CADD9 CAdd9 Cadd4 C(add4) Cadd11 C(add11) Cadd13 C(add13) Caddb9 C(addb9) Cadd#9",
  "Cadd#11 C(add#11) Caddb6 Cadd7 Caddmaj7 Cadd9add11 C(add9,add11) C(add9,11) Cadd9(add11) C(add2,4) C/9 C(9,11)",
  "Cmadd9 Cm(add9) Cm(add2) Cmadd2 Cmadd4 Cm(add4) Cmadd11 Cm(add11) Cmin(add9) C-(add9) Cmi(add9) Cmaj(add9) CM(add9)",
  "C-add9 Cmiadd9 Cminadd9 CMadd9 Cmajadd9 CMaddb9 Cmadd6 Cmadd13 Cdimadd9 Cdim(add9) C+add9 Cm7add4 Cm(9) C/add9",
  "Cno3 C(no3) Cno3rd C(no3rd) Comit3 C(omit3) C7no3 C7(no3) C7omit3 C7(omit3) C9(no3) Cmaj7(no3) Cno3add9 Comit3add9",
  "Cadd9no3 Cadd9(no3) C(add9,no3) C(add9)(no3) Cm(no5) Cmno5 Cno5 C(no5) Comit5 C(omit5) C7no5 C7(no5) C7omit5",
  "C7(omit5) C7(omit3,5) C7(no3,5) C7(no3,no5) Cm7no5 Cm7(omit5) Cm7omit5 Cmaj7(omit5) C9omit5 C13(no5) C9(no5) CNO3",
  "C5 C(5) C5add9 C5/G Csus4no5",
  // Written basses.
  "C/E C/G C/D C/Bb C/B C/A C/F C/F# C/C Cm/Eb Cm/G Cm/Bb Cm/B C7/E C7/G C7/Bb Cmaj7/E Cm7/Bb C6/E Cdim/Eb C°7/Eb",
  "Csus4/G Cadd9/E C9/E C7sus4/F C7b9/Db Cm7b5/Gb C+/G# C5/E C7(b9)/E C/E♭ C/F♯ CΔ/E C6/9/G Cm(maj7)/Eb C7alt/Bb",
  "G/B D/F# D/F♯ Am/C Am/G Em/D F/C Bb/D B♭/D Eb/G A/C# E/G# Dm7/G F/G Bb/C Gm7/C F#m7b5/C Abmaj7/C Bb7/Ab B/D# Gb/Db",
  // Other roots.
  "D Dm D7 Dmaj7 Dm7 Ddim D°7 D+ Dsus4 D6 D9 D13 Eb Ebm Eb7 Ebmaj7 Ebm7b5 Ebdim7 E E7 Em Em7 E7#9 E+ F Fm F7 Fmaj7",
  "Fm6 F6/9 F#m F#7 F#m7b5 F#°7 G Gm G7 G7sus4 G7b9 G9 G13 Ab Abm Ab7 Abmaj7 Ab6 A Am A7 Am7 Am6 Am(maj7) A7b9 A7sus4",
  "Bb Bbm Bb7 Bbmaj7 Bb6 Bbadd9 B Bm B7 Bm7 Bm7b5 Bdim B7b9 Db Db7 Dbmaj7 Gb Gb7 Gbmaj7 G#dim G#m C# C#m C#7 C#dim7",
  "C#m7b5 D#dim D#m A#dim A#m E# Fb Cb B# E♭ E♭m7 B♭7 B♭maj7 F♯ F♯m7 C♯m7♭5 A♭Δ7 G♭6 D♭13 Cb7 E#dim Bbb F## Fx Abb7",
  // Foreign texts and slips.
  "H H7 C/H c am Cmaj7/ C( C() C7(b9 C// C/e Cfoo X7 Do Sol7 C8 C7b7 Cb C15 NC N.C.",
];

const WITH_SPACES = [
  "C maj7",
  "C m7",
  "C 7",
  "C7 sus4",
  "C7 (b9)",
  "C7 b9",
  "C add9",
  "C7(b9, #11)",
  "C7(b5 b9)",
  "C / E",
  "C7 alt",
  "C6 / 9",
  "C7 #9 b13",
];

const PITCH_CLASSES = { C: 0, D: 2, E: 4, F: 5, G: 7, A: 9, B: 11 };

function fail(message) {
  process.stderr.write(`${message}\n`);
  process.exit(1);
}

function requireVersion({ name, version }) {
  const found = JSON.parse(readFileSync(join("node_modules", name, "package.json"), "utf8")).version;
  if (found !== version) fail(`${name} is ${found}, the table is made with ${version}`);
}

function label({ name, version }) {
  return `${name} ${version}`;
}

function pitchClass(note) {
  const shift = [...note.slice(1)].reduce((sum, sign) => sum + (sign === "#" ? 1 : -1), 0);
  return (PITCH_CLASSES[note[0]] + shift + 12) % 12;
}

// Returns the semitones above the root as a sorted list of pitch classes.
function pitchClasses(root, semitones) {
  const folded = new Set(semitones.map((semitone) => (root + semitone) % 12));
  return [...folded].sort((a, b) => a - b).join(",");
}

// Turns an interval name of the list, a number and one quality letter, such as 9m, 11A or 7d, into semitones.
function intervalSemitones(interval) {
  const [, digits, quality] = /^(\d+)([PMmAd]+)$/.exec(interval) ?? fail(`unknown interval ${interval}`);
  const step = (Number(digits) - 1) % 7;
  const perfect = [0, 3, 4].includes(step);
  const shift = { P: 0, M: 0, m: -1, A: 1, AA: 2, d: perfect ? -1 : -2 }[quality];
  return [0, 2, 4, 5, 7, 9, 11][step] + shift + 12;
}

function listRows(list) {
  return list.all().flatMap((type) => {
    const tones = pitchClasses(0, type.intervals.map(intervalSemitones));
    return type.aliases.filter((alias) => alias !== "").map((alias) => [label(LIST), `C${alias}`, tones, "-"]);
  });
}

function parserRow(parse, symbol) {
  const chord = parse(symbol);
  if (chord.error) return [label(PARSER), symbol, "unread", "-"];
  const { rootNote, bassNote, semitones } = chord.normalized;
  const root = pitchClass(rootNote);
  const bass = pitchClass(bassNote || rootNote);
  return [label(PARSER), symbol, pitchClasses(root, semitones), bass === root ? "-" : String(bass)];
}

function parserRows(factory) {
  const spellings = [...SPELLINGS.flatMap((line) => line.split(" ")), ...WITH_SPACES];
  const unique = [...new Set(spellings)];
  const parse = factory({ notationSystems: ["english"] });
  return unique.map((symbol) => parserRow(parse, symbol));
}

function header() {
  return [
    "# Copyright 2026 the rowcall developers",
    "# SPDX-License-Identifier: MIT",
    `# Chord symbols as the npm packages ${label(PARSER)} and ${label(LIST)} read them.`,
    "# Made by npm-chords.mjs; do not edit.",
    "# Columns: package, symbol, pitch classes of the tones or 'unread', pitch class of the bass or '-' for the root.",
  ];
}

requireVersion(PARSER);
requireVersion(LIST);
const load = createRequire(join(process.cwd(), "scratch.cjs"));
const { chordParserFactory } = load(`${PARSER.name}/lib/chord-symbol.js`);
const rows = [...parserRows(chordParserFactory), ...listRows(load(LIST.name))];
process.stdout.write([...header(), ...rows.map((row) => row.join("\t"))].join("\n") + "\n");
