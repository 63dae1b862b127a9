// Copyright 2026 the rowcall developers
// SPDX-License-Identifier: MIT

// One tune: its chart, the keyboard beside it, other ways, keys, and playing along.

import { addressOf, replaceAddress, tuneAddress, whereAmI } from './address.js';
import { percent } from './answer.js';
import { askEngine, Dropped } from './asking.js';
import { boardFigure, buttonKey, calledOf } from './board.js';
import { drawChart, marksOf } from './chart.js';
import { button, el } from './dom.js';
import { answerTo, askLayout, onBoard, state, taste, tasteOfChord } from './state.js';
import { signs, words } from './words.js';

/**
 * @typedef {import('./state.js').Place} Place
 * @typedef {import('./state.js').Layout} Layout
 * @typedef {{basses: Place[], chords: Place[], grade: string, kept: string[], missing: string[],
 *            added: string[]}} Grip
 * @typedef {Grip & {press: string, chord: string, bars: number[], verdict: string, melody: string[],
 *            fingers: {basses: number[], chords: number[]},
 *            alternating: null | {bass: Place, finger: number}}} Way
 * @typedef {{chord: string, quarters: number, way: number | null, worst?: string}} Written
 * @typedef {{label: string | null, bar: number, sung: boolean, words: {text: string, chord: number | null}[]}} Line
 * @typedef {import('./state.js').TunePlace & {key: string, key_source: string, meter: string, beat: number,
 *            quarters_a_minute: number, tempo: string, lengths: boolean,
 *            parts: {label: string, first: number, bars: number}[], written: Written[][], lines: Line[],
 *            order: string, played: number[], remarks: {text: string}[], ways: Way[],
 *            hard: {kind: string, bar: number, chord: string, mm?: number}[]}} Tune
 * @typedef {{semitones: number, called: string, key: string, verdict: string, quarters: number, carried: number}} Move
 */

const TEMPO_WAIT_MS = 200;

/** The file in hand that a tune is in: itself, or its archive. @param {{file: string}} at */
function fileOf(at) {
  return state.tunes.find((file) => at.file === file.name || at.file.startsWith(`${file.name}!`))?.name;
}

/** Options that find one tune, or some of an archive. @param {{file: string, line: number}} at @param {number} move */
function only(at, move) {
  return [fileOf(at) ?? at.file, '--line', String(at.line), ...(move ? ['--move', String(move)] : []), ...onBoard()];
}

/**
 * The tune that is meant among those found.
 * @template {{file: string}} T
 * @param {T[] | undefined} tunes
 * @param {{file: string}} at
 */
function pick(tunes, at) {
  return tunes?.find((tune) => tune.file === at.file);
}

/** @param {Tune} tune */
function metaText(tune) {
  const key = tune.key_source === 'none' ? words.tunes.noKey
    : tune.key_source === 'assumed' ? words.tunes.assumed(signs(tune.key)) : signs(tune.key);
  const beats = tune.quarters_a_minute ? String(Math.round(tune.quarters_a_minute / tune.beat)) : '';
  return [key, tune.meter, beats].filter((part) => part).join(' · ');
}

// ------------------------------------------------------------------------------------------------------ what to press

/** What a grip adds and leaves out, in words. @param {Grip & {melody?: string[]}} grip */
function reasonText(grip) {
  const tones = (/** @type {string[]} */ list) => words.listed(list.map(signs));
  return [
    grip.added.length ? words.tune.adds(tones(grip.added)) : '',
    grip.missing.length ? words.tune.lacks(tones(grip.missing)) : '',
    grip.melody?.length ? words.tune.melody(tones(grip.melody)) : '',
  ].filter((part) => part).join(', ');
}

/** @param {Layout} layout @param {Way} way */
function fingersText(layout, way) {
  const parts = [
    ...way.basses.map((place, i) => words.tune.with(calledOf(layout, place), way.fingers.basses[i])),
    ...way.chords.map((place, i) => words.tune.with(calledOf(layout, place), way.fingers.chords[i])),
  ];
  const second = way.alternating ? `; ${words.tune.alternate(calledOf(layout, way.alternating.bass),
    way.alternating.finger)}` : '';
  const bellows = [...way.basses, ...way.chords].find((place) => place.bellows)?.bellows;
  return words.listed(parts) + second + (bellows ? words.tune.on(bellows) : '');
}

/** Buttons to light up. @param {Way} way */
function litBy(way) {
  /** @type {Map<string, string>} */
  const lit = new Map();
  (way.basses ?? []).forEach((place, i) => lit.set(buttonKey(place), String(way.fingers.basses[i])));
  (way.chords ?? []).forEach((place, i) => lit.set(buttonKey(place), String(way.fingers.chords[i])));
  return lit;
}

// ------------------------------------------------------------------------------------------------------- the whole view

/** A tune that is shown, and how far one is in it. */
class Shown {
  /**
   * @param {{file: string, line: number}} at
   * @param {Tune} tune
   * @param {Layout} layout
   * @param {Move[]} moves
   * @param {Move | undefined} move
   */
  constructor(at, tune, layout, moves, move) {
    this.at = at;
    this.tune = tune;
    this.layout = layout;
    this.moves = moves;
    this.move = move;
    this.tempo = tune.quarters_a_minute; // quarter notes a minute, as set by the slider
    this.bar = 0;
    this.chord = 0;
    this.timer = 0;
    /** @type {HTMLAudioElement | null} */
    this.audio = null;
    this.chart = el('div', { class: 'chart' });
    this.panel = el('div', { class: 'panel' });
    this.sheet = el('div', { class: 'sheet' }); // filled before it is printed
    this.say = el('p', { class: 'hint', role: 'status' });
    this.playButton = button({ class: 'press primary' }, () => this.playOrPause(), words.tune.play);
  }

  /** @returns {Written | undefined} */
  get written() {
    return this.tune.written[this.bar]?.[this.chord];
  }

  drawChart() {
    drawChart(this.chart, this.tune, (bar, chord) => this.select(bar, chord));
    this.chart.append(el('p', { class: 'fingers' }, this.tune.order));
    this.mark();
  }

  mark() {
    this.chart.querySelector('[aria-current]')?.removeAttribute('aria-current');
    const now = this.chart.querySelector(`[data-at="${this.bar}.${this.chord}"]`);
    now?.setAttribute('aria-current', 'true');
    return now;
  }

  /** @param {number} bar @param {number} chord */
  select(bar, chord) {
    this.bar = bar;
    this.chord = chord;
    this.mark()?.scrollIntoView({ block: 'nearest' });
    this.drawPanel();
  }

  /** Goes to the chord before or after. @param {number} by */
  step(by) {
    const all = this.tune.written.flatMap((bar, i) => bar.map((_, j) => [i, j]));
    const now = all.findIndex(([i, j]) => i === this.bar && j === this.chord);
    const next = all[Math.min(Math.max(now + by, 0), all.length - 1)];
    if (next) {
      this.select(next[0], next[1]);
    }
  }

  drawPanel() {
    const written = this.written;
    const way = written && written.way !== null ? this.tune.ways[written.way] : null;
    const room = el('div', { class: 'board-room', tabindex: '0', role: 'group', 'aria-label': words.tune.boardRoom },
      boardFigure(this.layout, this.marksOf(way)));
    this.panel.replaceChildren(el('div', { class: 'panel-words' }, ...this.wordsOf(written, way)), room);
    room.querySelector('.lit')?.scrollIntoView({ block: 'nearest', inline: 'center' });
  }

  /** @param {Way | null} way */
  marksOf(way) {
    const second = way?.alternating && !litBy(way).has(buttonKey(way.alternating.bass))
      ? new Map([[buttonKey(way.alternating.bass), String(way.alternating.finger || '·')]]) : new Map();
    return { lit: way ? litBy(way) : new Map(), second, lying: true };
  }

  /** @param {Written | undefined} written @param {Way | null} way */
  wordsOf(written, way) {
    if (!written) {
      return [el('p', {}, words.tune.choose)];
    }
    const head = (/** @type {string} */ grade) => el('div', { class: 'panel-head' },
      el('h2', {}, signs(written.chord), el('small', {}, ` ${grade}`)),
      grade && button({ class: 'press' }, () => this.hear(written.chord), words.tune.hear));
    if (!way) {
      return [head(''), el('p', {}, words.tune.silent)];
    }
    if (!way.basses) {
      return [head(words.grades[way.verdict]), el('p', {}, way.verdict === 'unread' ? words.tune.noChord
        : words.tune.noGrip), this.others(written.chord)];
    }
    const reason = reasonText(way);
    return [head(words.grades[way.grade]), el('p', { class: 'press-this' }, fingersText(this.layout, way)),
      reason && el('p', { class: 'hint' }, reason), this.others(written.chord)];
  }

  /** Every way to play a chord, found when asked for. @param {string} chord */
  others(chord) {
    const list = el('ul', { class: 'ways' });
    return el('details', { on: { toggle: () => this.fillOthers(list, chord) } }, el('summary', {}, words.tune.others), list);
  }

  /** @param {HTMLElement} list @param {string} chord */
  async fillOthers(list, chord) {
    if (list.children.length) {
      return;
    }
    const key = this.tune.key_source === 'none' ? [] : ['--key', this.tune.key];
    const { json } = await answerTo('chord', ['chord', chord, ...onBoard(), ...tasteOfChord(), ...key]);
    const grips = /** @type {Grip[]} */ (json?.grips ?? []);
    list.replaceChildren(...(grips.length ? grips.map((grip) => this.otherWay(grip)) : [el('li', {}, words.tune.noOthers)]));
  }

  /** What to press, in words. @param {Grip} grip */
  pressText(grip) {
    return [...grip.basses, ...grip.chords].map((place) => calledOf(this.layout, place)).join(' + ');
  }

  /** @param {Grip} grip */
  otherWay(grip) {
    const lit = new Map([...grip.basses, ...grip.chords].map((place) => [buttonKey(place), '●']));
    const reason = reasonText(grip);
    return el('li', {}, button({ class: 'way' }, () => {
      this.panel.querySelector('.board-room')?.replaceChildren(boardFigure(this.layout, { lit, lying: true }));
    }, el('b', {}, words.grades[grip.grade]), ` ${this.pressText(grip)}`, reason && el('small', {}, ` ${reason}`)));
  }

  // ---------------------------------------------------------------------------------------------------------- sound

  /** @param {string} about @param {string[]} args */
  async soundOf(about, args) {
    const { files, err } = await askEngine(about, ['listen', ...args, '-o', 'x.wav']);
    if (!files['x.wav']) {
      this.say.textContent = err;
      return null;
    }
    this.audio?.pause();
    this.audio = new Audio(URL.createObjectURL(new Blob([/** @type {BlobPart} */ (files['x.wav'])], { type: 'audio/wav' })));
    return this.audio;
  }

  /** @param {string} chord */
  async hear(chord) {
    const tempo = this.tempo ? ['--tempo', String(Math.round(this.tempo / this.tune.beat))] : [];
    const audio = await this.soundOf('hear', [chord, ...onBoard(), '--meter', this.tune.meter, ...tempo]);
    this.say.textContent = words.tune.hearHint;
    await audio?.play();
  }

  async playOrPause() {
    if (this.audio && !this.audio.paused) {
      this.audio.pause();
      return;
    }
    const audio = await this.soundOf('sound', [...only(this.at, this.move?.semitones ?? 0), '--title', this.tune.title,
      ...taste(`1/4=${this.tempo}`)]);
    if (!audio) {
      return;
    }
    this.playButton.textContent = words.tune.pause;
    audio.addEventListener('pause', () => {
      this.playButton.textContent = words.tune.play;
    });
    await audio.play();
    this.follow(audio);
  }

  /** Moves the mark along with what is heard. @param {HTMLAudioElement} audio */
  follow(audio) {
    const starts = startsOf(this.tune);
    const move = () => {
      if (!this.chart.isConnected) {
        audio.pause();
      }
      const now = (audio.currentTime * this.tempo) / 60;
      const at = starts.findLast((start) => start.quarters <= now);
      if (at && (at.bar !== this.bar || at.chord !== this.chord)) {
        this.select(at.bar, at.chord);
      }
      if (!audio.paused) {
        requestAnimationFrame(move);
      }
    };
    move();
  }

  // ---------------------------------------------------------------------------------------------------------- tempo

  /** Beats a minute. @param {number} beats */
  setTempo(beats) {
    this.tempo = beats * this.tune.beat;
    this.audio?.pause();
    clearTimeout(this.timer);
    this.timer = setTimeout(async () => {
      try {
        const { json } = await answerTo('tune', ['tune', ...only(this.at, this.move?.semitones ?? 0), ...taste(`1/4=${this.tempo}`)]);
        this.tune = { .../** @type {Tune} */ (pick(json.tunes, this.at)),
          quarters_a_minute: this.tune.quarters_a_minute };
        this.drawChart();
        this.drawPanel();
      } catch (error) {
        if (!(error instanceof Dropped)) {
          throw error;
        }
      }
    }, TEMPO_WAIT_MS);
  }

  tempoSlider() {
    const usual = Math.round(this.tune.quarters_a_minute / this.tune.beat);
    const shown = el('output', {}, usual);
    const slider = el('input', { type: 'range', min: Math.max(20, Math.round(usual * 0.4)), max: Math.round(usual * 1.5),
      value: usual, on: { input: (/** @type {Event} */ event) => {
        const beats = Number(/** @type {HTMLInputElement} */ (event.target).value);
        shown.textContent = String(beats);
        this.setTempo(beats);
      } } });
    return el('label', { class: 'choice tempo' }, words.tune.tempo, slider, shown);
  }

  // ----------------------------------------------------------------------------------------------------------- keys

  keyChips() {
    const rank = (/** @type {Move} */ move) => ['native', 'plays', 'no'].indexOf(move.verdict);
    const best = [...this.moves].sort((a, b) => rank(a) - rank(b) || b.carried - a.carried ||
      Math.abs(a.semitones) - Math.abs(b.semitones));
    const chips = best.map((move) => {
      const share = percent(move.carried, move.quarters);
      const address = move.semitones ? tuneAddress(this.at, { key: move.key }) : tuneAddress(this.at);
      const now = move.semitones === (this.move?.semitones ?? 0);
      return el('a', { class: `key key-${move.verdict}${move.semitones ? '' : ' written'}`, href: address,
        'data-semitones': move.semitones, 'aria-current': now ? 'true' : null },
      el('span', {}, signs(move.key)), el('span', { class: 'unseen' }, words.tune.keySays(move.called, move.verdict)),
      el('span', { class: 'key-bar', vars: { share: share / 100 } }),
      el('small', {}, `${share} %`));
    });
    return el('section', { class: 'keys-section' }, el('h2', {}, words.tune.keys), el('p', { class: 'hint' }, words.tune.keysHint),
      el('div', { class: 'keys' }, ...chips));
  }

  /** @returns {HTMLElement[]} */
  draw() {
    const { tune } = this;
    const back = el('a', { class: 'press', href: addressOf('tunes') }, `‹ ${words.tune.close}`);
    const large = button({ class: 'press', 'aria-pressed': 'false' }, (event) => {
      const wide = document.body.classList.toggle('at-stand');
      /** @type {Element} */ (event.currentTarget).setAttribute('aria-pressed', String(wide));
    }, words.tune.large);
    const controls = tune.lengths && tune.quarters_a_minute
      ? { play: this.playButton, tempo: this.tempoSlider() }
      : { play: null, tempo: el('p', { class: 'hint' }, words.tune.untimed) };
    this.drawChart();
    this.select(0, 0);
    const head = el('div', { class: 'tune-head' }, back, el('h1', {}, tune.title), el('p', { class: 'meta' },
      this.move?.semitones ? `${words.tune.inKey(signs(this.move.key), this.move.called)} · ${tune.meter}`
        : metaText(tune)));
    const steps = el('div', { class: 'row steps-row' }, controls.play, button({ class: 'press', 'aria-label': words.tune.step.back },
      () => this.step(-1), '←'), button({ class: 'press', 'aria-label': words.tune.step.on }, () => this.step(1), '→'), controls.tempo);
    return [head, steps, this.say, el('div', { class: 'tune-body' }, this.chart, this.panel),
      el('div', { class: 'row' }, large, button({ class: 'press' }, () => print(), words.tune.print)),
      ...this.remarks(), this.keyChips(), this.sheet, el('p', { class: 'fingers' }, words.tune.fingers)];
  }

  /** Each chord without a button of its own, with its keyboard, for paper. */
  fillSheet() {
    const marks = marksOf(this.tune.ways);
    const cards = this.tune.ways.map((way, i) => way.verdict === 'native' ? null : el('section', { class: 'sheet-card' },
      el('h2', {}, `${marks[i]} ${signs(way.chord)}`, el('small', {}, ` ${words.grades[way.grade ?? way.verdict]}`)),
      way.basses ? el('p', {}, fingersText(this.layout, way)) : el('p', {}, words.tune.noGrip),
      way.basses ? el('p', {}, reasonText(way)) : null,
      way.basses ? boardFigure(this.layout, this.marksOf(way)) : null));
    this.sheet.replaceChildren(...cards.filter((card) => card !== null));
  }

  remarks() {
    const list = (/** @type {string} */ heading, /** @type {string[]} */ texts) => texts.length
      ? [el('section', {}, el('h2', {}, heading), el('ul', {}, ...texts.map((text) => el('li', {}, text))))] : [];
    return [...list(words.tune.remarks, this.tune.remarks.map((remark) => remark.text)),
      ...list(words.tune.hard, this.tune.hard.map((spot) => [signs(spot.chord), words.tune.bar(spot.bar),
        words.tune.hardKinds[spot.kind], spot.mm ? `${spot.mm} mm` : ''].filter((part) => part).join(', ')))];
  }
}

/** When each chord begins, in quarter notes, in playing order. @param {Tune} tune */
function startsOf(tune) {
  let quarters = 0;
  return tune.played.flatMap((number) => tune.written[number - 1].map(({ quarters: length }, chord) => {
    const start = { quarters, bar: number - 1, chord };
    quarters += length;
    return start;
  }));
}

/** @type {Shown | null} */
let now = null;

addEventListener('beforeprint', () => now?.fillSheet());

addEventListener('keydown', (event) => {
  const within = /** @type {Element} */ (event.target).closest?.('input, select, textarea, details');
  if (now?.chart.isConnected && !within && (event.key === 'ArrowRight' || event.key === 'ArrowLeft')) {
    event.preventDefault();
    now.step(event.key === 'ArrowRight' ? 1 : -1);
  }
});

/** @param {HTMLElement} root */
export async function showTune(root) {
  const { tune: at, more } = whereAmI();
  if (!at || !fileOf(at)) {
    root.replaceChildren(el('p', {}, words.tune.gone));
    replaceAddress(addressOf('tunes'));
    return;
  }
  const keys = await answerTo('keys', ['keys', ...only(at, 0), ...taste()]);
  /** @type {Move[]} */
  const moves = /** @type {any} */ (pick(keys.json?.tunes, at))?.moves ?? [];
  const move = moves.find((one) => one.key === more.get('key'));
  const [{ json, problems }, layout] = await Promise.all([
    answerTo('tune', ['tune', ...only(at, move?.semitones ?? 0), ...taste()]), askLayout()]);
  const tune = /** @type {Tune | undefined} */ (pick(json?.tunes, at));
  if (!tune) {
    root.replaceChildren(el('p', {}, words.tune.gone), ...problems.map((line) => el('p', { class: 'hint' }, line)));
    return;
  }
  now?.audio?.pause();
  now = new Shown(at, tune, layout.json, moves, move);
  root.replaceChildren(...now.draw());
}
