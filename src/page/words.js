// Copyright 2026 the rowcall developers
// SPDX-License-Identifier: MIT

// Every text of the page.

/** @param {number} n @param {string} one @param {string} [many] */
function count(n, one, many = `${one}s`) {
  return `${n} ${n === 1 ? one : many}`;
}

/** A size with its article, by how its number is said. @param {string} size */
function withArticle(size) {
  return `${/^(8\d?|11|18)(?!\d)/.test(size) ? 'An' : 'A'} ${size}`;
}

/** @param {string[]} list */
function listed(list) {
  return list.length < 2 ? list.join('') : `${list.slice(0, -1).join(', ')} and ${list[list.length - 1]}`;
}

/** What shares are of. @param {boolean} measured whether chords have lengths */
function shared(measured) {
  return measured ? 'playing time' : 'chords';
}

/**
 * A chord or note with real sharp and flat signs; any other text as it is.
 * @param {string} text
 */
export function signs(text) {
  return /^[A-H]/.test(text)
    ? text.replace(/([A-H])(##?|bb?)/g, (_, note, sign) => note + sign.replace(/#/g, '♯').replace(/b/g, '♭'))
        .replace(/#(?=\d)/g, '♯').replace(/b(?=\d)/g, '♭')
    : text;
}

/** @type {Record<string, string>} */
const grades = {
  native: 'a button of its own',
  A: 'the same notes',
  B: 'richer',
  C: 'leaner',
  D: 'bare',
  E: 'borrowed',
  impossible: 'no grip',
  unread: 'no chord symbol',
};

/** @type {Record<string, string>} */
const fares = {
  plays: 'plays',
  'one short': 'lacks one chord',
  'does not': 'does not play',
  unread: 'has text that is no chord',
};

/** @type {Record<string, string>} */
const turns = {
  'chin-up': 'As I look down, or in a mirror',
  front: 'As my teacher sees me',
  paper: 'As on paper',
};

/** @type {Record<string, string>} */
const turnedSo = {
  'chin-up': 'The chin is at the top, the bellows are to the right.',
  front: 'The chin is at the top, the bellows are to the left.',
  paper: 'The chin is to the right, the bellows are at the top.',
};

export const words = {
  undo: 'undo',
  putAway: 'Put this away',
  trying: {
    name: 'What is tried',
    what: (/** @type {string} */ name) => `Trying “${name}”.`,
    back: (/** @type {string} */ name) => `back to my ${name}`,
    keep: 'keep it',
  },
  places: { answer: 'Answer', tunes: 'Tunes', keyboard: 'Keyboard', learn: 'Learn', buy: 'Buy' },
  placesName: 'Places',
  change: 'change',
  changeTunes: ' the tunes',
  changeBoard: ' the keyboard',
  inHand: (/** @type {number} */ n, /** @type {string} */ of) => `${count(n, 'tune')}, ${of}`,
  demoName: 'the Harrowmere Squeezers',
  filesName: (/** @type {string[]} */ names) => (names.length === 1 ? names[0] : count(names.length, 'file')),
  /** @param {string} name @param {number} columns @param {number} rows @param {number} dead */
  boardInHand: (name, columns, rows, dead) =>
    `${name}, ${columns} by ${rows}${dead ? `, ${count(dead, 'dead button')}` : ''}`,
  working: 'Working it out …',
  stop: 'stop',
  stopped: 'Stopped. What you see is what was known before.',
  failed: 'The engine failed; what you see is what was known before. It said:',
  nothing: 'There is nothing to answer for yet.',
  count,
  listed,
  grades,
  fares,

  demo: {
    line: 'This is a made-up club. Drop your own tunes here, or paste them.',
    choose: 'Choose files',
    paste: 'Paste or type',
  },

  given: {
    heading: 'Your tunes',
    drop: 'Drop files here: ABC, MusicXML, ChordPro, words with chords over them, YAML, or an archive of these.',
    choose: 'Choose files',
    adds: 'They are added to those in hand.',
    replacesDemo: 'They take the place of the made-up club.',
    replace: 'Take them in place of all in hand',
    /** @param {string[]} names @param {number} known how many further ones are in hand already
     * @param {boolean} demo whether they take the demo's place @param {boolean} replace */
    taken: (names, known, demo, replace) => {
      const what = names.length > 3 ? count(names.length, 'file') : listed(names);
      return demo ? `${what} in place of the made-up club.` : replace ? `${what} in place of all that was in hand.`
        : [what && `Added ${what}.`, known && `${count(known, 'file is', 'files are')} in hand already.`]
          .filter((part) => part).join(' ');
    },
    removed: (/** @type {string} */ name) => `${name} was taken out.`,
    backSaid: 'The made-up club in place of your tunes.',
    paste: 'Or paste a tune, or type its chords',
    pasteHint: 'Such as: | D | G | A7 | D |',
    pasteName: 'Title',
    usual: 'My tune',
    take: 'Add this text',
    local: 'Nothing leaves this page: it has no way to send anything.',
    now: 'In hand now',
    remove: 'take out ',
    back: 'Back to the made-up club',
    remember: 'Remember all this in this browser',
    rememberHint: 'Otherwise it is forgotten when you close the page.',
    cannotRemember: 'This browser does not let the page remember anything. Save the page instead.',
    saveHeading: 'Save it',
    saved: 'Saved as my-tunes.html, to keep or to send as an attachment.',
    save: 'Save as a page',
    notices: 'Licences of what is inside',
    saveHint: 'A copy of this page with these tunes, this keyboard and your choices inside. It opens anywhere.',
  },

  problems: {
    some: (/** @type {number} */ n) => `${count(n, 'thing was', 'things were')} read with doubt`,
    heading: 'What was read with doubt, or not at all',
    nothingRead: 'Nothing in these files could be read as tunes.',
    whatToDo: 'Check that the files are what you meant: each message says what was found and what was expected.',
  },

  answer: {
    /** @param {string} board @param {boolean} yours @param {number} n @param {number} of */
    sentence: (board, yours, n, of) => `${yours ? 'Your' : 'The'} ${board} ${of === 1
      ? n ? 'plays the one tune.' : 'does not play the one tune.'
      : n === of ? `plays all ${of} tunes.` : `plays ${n} of ${of} tunes.`}`,
    none: 'These tunes have no chords, so any keyboard carries them.',
    short: (/** @type {number} */ n) => n === 1 ? 'One more lacks one chord.' : `${n} more lack one chord.`,
    share: (/** @type {boolean} */ measured) => `of the ${shared(measured)}`,
    unread: 'no chord could be read',
    played: (/** @type {number} */ of) => `of ${count(of, 'tune')} played`,
    smallest: (/** @type {number} */ n, /** @type {number} */ of) =>
      n === of ? `is the smallest to play ${of === 1 ? 'it' : `all ${of}`}` : `is the smallest to play most: ${n}`,
    noSmallest: 'no usual size plays any',
    whatToDo: 'What to do',
    nothingToDo: 'Nothing: all chords have their buttons. Play.',
    learn: (/** @type {string} */ chord, /** @type {string} */ press, /** @type {number} */ n) =>
      `Learn ${press}: it stands in for ${chord} in ${count(n, 'tune')}`,
    move: (/** @type {number} */ n, /** @type {string} */ title, /** @type {string} */ called) =>
      n === 1 ? `Move one tune: ${title} ${called}` : `Move ${count(n, 'tune')}, first ${title} ${called}`,
    larger: (/** @type {string} */ size, /** @type {number} */ n) => `${withArticle(size)} would add ${count(n, 'tune')}`,
    sizes: 'Sizes',
    sizeParts: { native: 'a button of its own', stand: 'a stand-in', open: 'neither.' },
    sizesHint: 'At the end the tunes that play. Tap a size to try it.',
    /** @param {number} own @param {number} stand @param {boolean} measured */
    sizeBar: (own, stand, measured) =>
      `: ${own} % of the ${shared(measured)} on buttons of its own, ${stand} % with stand-ins; `,
    sizeTry: (/** @type {number} */ of) => ` of ${count(of, 'tune')} play. Try it`,
    caution: 'A grip that hurts is a wrong grip: rest, and ask a teacher or doctor.',
  },

  tunes: {
    heading: 'Tunes',
    search: 'Find a title',
    all: 'all',
    plays: 'plays',
    short: 'lacks one chord',
    not: 'does not play',
    unread: 'text that is no chord',
    lacks: (/** @type {string} */ chord) => `lacks ${chord}`,
    gained: (/** @type {string} */ size) => `gained by ${withArticle(size).toLowerCase()}`,
    filters: 'Show only',
    sort: 'First come',
    sorts: { worst: 'those that lack most', time: 'those that play the least of their time', title: 'titles by the alphabet' },
    none: 'No tune is like that. Take a filter away, or find another title.',
    chordless: (/** @type {number} */ n) => `${count(n, 'tune')} without chords, and so without a row`,
    /** @param {string} chord @param {number} times @param {number} bar */
    lackAt: (chord, times, bar) => times === 1 ? `${chord} in bar ${bar}` : `${chord} ${times} times, first in bar ${bar}`,
    lacking: (/** @type {string} */ what) => `lacks ${what}`,
    more: (/** @type {number} */ n) => `and ${n} more`,
    assumed: (/** @type {string} */ key) => `${key}, assumed`,
    noKey: 'no key',
    carried: (/** @type {number} */ percent) => `${percent} % of its time`,
    smallest: (/** @type {string} */ size) => `${withArticle(size)} plays it`.toLowerCase(),
    moved: (/** @type {string} */ called, /** @type {string} */ key) => `plays ${called}, in ${key}`,
    shown: (/** @type {number} */ n, /** @type {number} */ of) => `${n} of ${of} shown`,
  },

  tune: {
    close: 'back',
    play: 'Play along',
    pause: 'Pause',
    print: 'Print',
    /** @param {number} beat in quarter notes */
    tempo: (beat) => `${{ 0.5: 'Eighths', 1: 'Quarters', 1.5: 'Dotted quarters', 2: 'Halves' }[beat] ?? 'Beats'} a minute`,
    withMelody: 'with the tune',
    use: 'Which buttons it uses',
    wanted: '♪ as written',
    noFingers: 'no fingers can hold it',
    untimed: 'Its chords have no lengths, so it cannot be played along.',
    keys: 'Keys',
    keysHint: 'Each with the share of its time that plays; best first. The written key is ringed.',
    /** @type {Record<string, string>} */
    keyMeans: { native: 'own buttons', plays: 'stand-ins', no: 'not all' },
    /** @param {string} called @param {string} verdict */
    keySays: (called, verdict) => `, ${called}: ${verdict === 'native' ? 'every chord has its button'
      : verdict === 'plays' ? 'plays' : 'does not play'}, `,
    inKey: (/** @type {string} */ key, /** @type {string} */ called) => `In ${key}, ${called}`,
    /** @param {number} bar @param {string | undefined} grade */
    chordAt: (bar, grade) => `, bar ${bar}${grade ? `, ${grade}` : ''}`,
    standIn: (/** @type {number} */ n) => `stand-in ${n}`,
    with: (/** @type {string} */ name, /** @type {number | string} */ finger) => `${name} with ${finger}`,
    alternate: (/** @type {string} */ name, /** @type {number} */ finger) =>
      finger ? `alternate with ${name}, ${finger}` : `alternate with ${name}, moving the hand`,
    on: (/** @type {string} */ bellows) => `; on ${bellows}`,
    noGrip: 'No grip: hold the bass, or rest.',
    noChord: 'This text is no chord symbol.',
    silent: 'Nothing is played here.',
    adds: (/** @type {string} */ tones) => `adds ${tones}`,
    lacks: (/** @type {string} */ tones) => `lacks ${tones}`,
    melody: (/** @type {string} */ tones) => `the melody gives ${tones}`,
    others: 'Other ways',
    underlined: 'Underlined, by how the stand-in sounds:',
    otherWays: (/** @type {number} */ n) => `${n} more`,
    notCounted: 'A makeshift that does not count as played: play it short and soft, and listen whether it passes.',
    othersOf: (/** @type {number} */ n) => `Other ways (${n})`,
    noOthers: 'There is no other way.',
    hear: '♪ as pressed',
    unheard: (/** @type {string} */ why) => `The browser did not play it: ${why} Press again.`,
    hearHint: 'First as a full board plays it, then as yours does, twice.',
    choose: 'Tap a chord to see its buttons.',
    step: { back: 'Bar before', on: 'Next bar', bar: 'bar' },
    remarks: 'In doubt',
    hard: 'Hard spots',
    /** @type {Record<string, string>} */
    hardKinds: { wide: 'a wide grip, mind the hand', leap: 'a leap after a brisk chord', turn: 'the bellows turn soon' },
    large: 'Large',
    bar: (/** @type {number} */ n) => `bar ${n}`,
    boardRoom: 'The keyboard',
    onBoard: (/** @type {string} */ board) => `on the ${board}`,
    gone: 'That tune is not among those in hand any more.',
    fingers: 'Fingers: 2 index, 3 middle, 4 ring, 5 little finger.',
  },

  board: {
    name: (/** @type {string} */ title) => `The bass keyboard: ${title}`,
    turns,
    turnedSo,
    turn: 'How to look at it',
    zoom: 'Size',
    zooms: { '': 'as it fits', large: 'larger', largest: 'largest' },
    dead: 'dead',
    pressed: (/** @type {string | number} */ finger) => `press with ${finger}`,
    used: (/** @type {string} */ percent) => `${percent} %`,
  },

  keyboard: {
    shown: 'What is shown, and how',
    of: 'Use in',
    all: 'all tunes',
    tune: 'Tune',
    every: 'every one',
    row: 'Row',
    allRows: 'all rows',
    /** @param {string} row @param {string} percent @param {boolean} measured */
    rowUse: (row, percent, measured) => `The ${row} row is held for ${percent} % of the ${shared(measured)}.`,
    beside: 'Beside it',
    besideFile: 'Other tunes beside it',
    nothing: 'nothing',
    unreadable: 'This layout file cannot be read; the keyboard stays as it was. It said:',
    name: 'keyboard',
    travel: (/** @type {number} */ mm) =>
      `Once through, the hand travels ${mm < 1000 ? `${Math.round(mm / 10)} cm` : `${Math.round(mm / 1000)} m`}.`,
    legend: (/** @type {boolean} */ measured) => `Percent of the ${shared(measured)}:`,
    classes: ['never', 'under 1', '1–2', '2–5', '5–10', '10–20', 'over 20'],
    rows: (/** @type {boolean} */ measured) => `Use by rows, of the ${shared(measured)}: a bass and a chord count both`,
    /** @param {string} a @param {string} b */
    difference: (a, b) => `Filled: more in ${a} (+). Ringed: more in ${b} (−).`,
    only: (/** @type {number} */ n, /** @type {string} */ name) => `${count(n, 'button')} only in ${name}`,
    onlyIn: (/** @type {string} */ button, /** @type {string[]} */ titles) => `${button}: ${listed(titles)}`,
    mine: 'My instrument',
    tapHint: 'Tap a button of the picture to say that it is dead or sounds something else. Take off columns and rows that ' +
      'are not there.',
    ends: { flat: 'Flat end', sharp: 'Sharp end', bellows: 'At the bellows', outer: 'Farthest from the bellows' },
    takeOff: (/** @type {string} */ name) => `take off ${name}`,
    putOn: (/** @type {string} */ name) => `put on ${name}`,
    /** @param {string} row @param {string} column */
    place: (row, column) => `${row} row, ${column} column`,
    dead: 'It is dead, or not there',
    restore: 'It is as it should be',
    fine: 'Leave it',
    wrongHint: 'Or it sounds something else:',
    wrong: 'It sounds this',
    note: 'Note',
    kind: 'Kind',
    kinds: { '': 'bass note', major: 'major', minor: 'minor', seventh: 'seventh', diminished: 'diminished',
      augmented: 'augmented' },
    /** @param {string} base @param {number} before @param {number} now */
    cost: (base, before, now) => before === now ? `So changed, it plays ${count(now, 'tune')}, as many as the ${base}.`
      : `So changed, it plays ${count(now, 'tune')} in place of ${before} on the ${base}.`,
    lost: (/** @type {number} */ n) => `${count(n, 'more tune')} ${n === 1 ? 'does' : 'do'} not play`,
    won: (/** @type {number} */ n) => `${count(n, 'more tune')} ${n === 1 ? 'plays' : 'play'}`,
    rowsThere: 'Rows that are there',
    save: 'Save as a layout file',
    undo: (/** @type {string} */ base) => `Back to the ${base} as it was`,
    title: (/** @type {number} */ columns, /** @type {number} */ rows) => `My own, ${columns} columns by ${rows} rows`,
  },

  which: {
    heading: 'Which keyboard is yours?',
    hint: 'Count the columns along the board and the rows across it, or tap the last button of the field.',
    columns: 'Columns',
    rows: 'Rows',
    like: (/** @type {number} */ columns, /** @type {number} */ rows) =>
      `With ${count(columns, 'column')} by ${count(rows, 'row')} there is:`,
    unlike: (/** @type {number} */ columns, /** @type {number} */ rows) =>
      `No usual keyboard has ${count(columns, 'column')} by ${count(rows, 'row')}. Describe your own.`,
    own: 'Mine is different: describe it',
    taken: (/** @type {string} */ name) => `Your keyboard is the ${name} now.`,
    /** @param {number} columns @param {number} rows */
    described: (columns, rows) => `Your keyboard has ${count(columns, 'column')} by ${count(rows, 'row')} now.`,
    all: 'All that are known',
    pushPull: 'Push-and-pull boxes',
    field: 'A picture of the columns and rows',
    taste: 'What counts as playing',
    accept: 'Take stand-ins that are',
    accepts: { A: 'the same notes', B: 'richer at most', C: 'leaner at most', D: 'bare at most', E: 'even borrowed' },
    prefer: 'What decides first',
    prefers: { plain: 'plain grips', sound: 'sound', ease: 'ease' },
    fromFile: 'A layout file',
    file: 'Choose a layout file',
  },

  learn: {
    heading: 'In which order to learn them',
    hint: 'Each step is the tune that needs the fewest new things. Tick what you know, tunes or single things: the order ' +
      'is found anew, and the rest moves up.',
    print: 'Print the list',
    /** @param {string} press @param {string} chord @param {number} n */
    standIn: (press, chord, n) => `${press} in place of ${chord}, in ${count(n, 'tune')}`,
    button: (/** @type {string} */ name, /** @type {number} */ n) => `${name}, in ${count(n, 'tune')}`,
    move: (/** @type {number} */ columns, /** @type {number} */ n) =>
      `a move by ${count(columns, 'column')}, in ${count(n, 'tune')}`,
    nothingNew: 'nothing new',
    /** @param {string} grip @param {number} mm @param {number} n */
    stretch: (grip, mm, n) => `the stretch of ${mm} mm to ${grip}, never forced, in ${count(n, 'tune')}`,
    know: (/** @type {string} */ what) => `I know ${what}`,
    ticked: (/** @type {string} */ what) => `${what}: moved to what you know, at the end of the page.`,
    unticked: (/** @type {string} */ what) => `${what}: to be learnt again.`,
    knownTunes: 'Tunes that you know',
    knownThings: 'Things that you know',
    forget: 'Forget all ticks',
    /** @param {number} steps @param {number} things */
    left: (steps, things) => steps ? `${count(steps, 'step')} left, with ${count(things, 'thing')} to learn.`
      : 'You know them all.',
    none: 'No tune plays on this keyboard.',
    unplayable: (/** @type {number} */ n) => `${count(n, 'tune')} left out, since this keyboard does not play them`,
  },

  buy: {
    heading: 'Instruments on offer',
    hint: 'Those that play most come first. One beats another that carries no more, and is neither cheaper nor lighter. ' +
      'Those that no other beats have a bar at their side.',
    noPrice: 'no price',
    noWeight: 'weight unknown',
    /** @param {number} n @param {number} of @param {number} share @param {boolean} measured */
    plays: (n, of, share, measured) => `Plays ${n} of ${count(of, 'tune')}, ${share}\u00a0% of the ${shared(measured)}.`,
    playsOf: (/** @type {number} */ n) => `plays ${n}`,
    /** @param {number} added @param {number} lost */
    against: (added, lost) => !added && !lost ? 'The same tunes as yours.'
      : `Against yours: ${[added ? `${added} more` : '', lost ? `${lost} lost` : ''].filter((part) => part).join(', ')}.`,
    added: (/** @type {number} */ n) => `${count(n, 'tune')} more than yours`,
    lost: (/** @type {number} */ n) => `${count(n, 'tune')} that yours plays, and this does not`,
    unbeaten: 'No other beats it.',
    beaten: (/** @type {string[]} */ by) => `Beaten by ${listed(by)}.`,
    /** @param {boolean} price @param {boolean} weight whether it is unknown */
    unknown: (price, weight) => `Without its ${[price ? 'price' : '', weight ? 'weight' : ''].filter((part) => part)
      .join(' and ')} nobody can say whether another beats it.`,
    dead: 'Dead buttons, each repaired by itself:',
    /** @param {string} name @param {number} tunes @param {number} time @param {number} native */
    repair: (name, tunes, time, native) => `${name}: ${tunes ? `adds ${count(tunes, 'tune')}` : 'adds no tune'}${
      time ? `, ${time} % of the time` : ''}${native ? `; ${count(native, 'chord')} on a button again` : ''}`,
    wide: (/** @type {string[]} */ chords) => `${listed(chords)} stretch the hand beyond comfort here: mind it.`,
    board: (/** @type {string} */ layout) => `Its keyboard, ${withArticle(layout).toLowerCase()}`,
    leftOut: (/** @type {number} */ n) => `${count(n, 'tune')} it does not play`,
    deadButtons: (/** @type {string[]} */ dead) => `Dead buttons: ${dead.length ? listed(dead) : 'none. Tap them.'}`,
    tryIt: 'Try it as mine',
    change: 'change ',
    remove: 'take away ',
    removed: (/** @type {string} */ name) => `${name} was taken away.`,
    forgotten: 'These offers were taken away.',
    examples: (/** @type {string} */ title) => `Invented examples: ${title}`,
    forgetExamples: 'Take the examples away',
    changing: (/** @type {string} */ name) => `Change ${name}`,
    save: 'Change it',
    typed: 'Add an offer',
    name: 'Name',
    layout: 'Keyboard',
    price: 'Price',
    weight: 'Weight in kg',
    add: 'Add it',
    file: 'Choose a file of offers',
    forget: 'Take this file of offers away',
    caution: 'Before you pay, play it for a good while. Mind its weight and your back, and whether your hand reaches ' +
      'without strain; ask a teacher, or a doctor where something hurts.',
  },
};
