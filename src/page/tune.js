// Copyright 2026 the rowcall developers
// SPDX-License-Identifier: MIT

// One tune: its chart, the keyboard beside it, other ways, keys, and playing along.

import { addressOf, cameFrom, replaceAddress, tuneAddress, whereAmI } from './address.js';
import { percent } from './answer.js';
import { askEngine, tellFault } from './asking.js';
import { boardFigure, buttonKey, calledOf, turnChoice } from './board.js';
import { drawChart, marksOf } from './chart.js';
import { button, el } from './dom.js';
import { answerTo, askLayout, fileOf, onBoard, state, taste, tasteOfChord } from './state.js';
import { signs, words } from './words.js';

/**
 * @typedef {import('./state.js').Place} Place
 * @typedef {import('./state.js').Layout} Layout
 * @typedef {{basses: Place[], chords: Place[], grade: string, kept: string[], missing: string[],
 *            added: string[], fingers: {basses: number[], chords: number[]} | null}} Grip
 * @typedef {Grip & {press: string, chord: string, bars: number[], verdict: string, melody: string[],
 *            alternating: null | {bass: Place, finger: number}}} Way
 * @typedef {{chord: string, quarters: number, seconds: number, way: number | null, worst?: string}} Written
 * @typedef {{label: string | null, bar: number, sung: boolean, words: {text: string, chord: number | null}[]}} Line
 * @typedef {import('./state.js').TunePlace & {key: string, key_source: string, meter: string, beat: number,
 *            beats_a_minute: number, quarters_a_minute: number, tempo: string, lengths: boolean,
 *            parts: {label: string, first: number, bars: number}[], written: Written[][], lines: Line[],
 *            order: string, played: number[], remarks: {text: string}[], ways: Way[],
 *            hard: {kind: string, bar: number, chord: string, mm?: number}[]}} Tune
 * @typedef {{semitones: number, called: string, key: string, verdict: string, quarters: number, carried: number,
 *            lowest?: string}} Move
 */

const WAYS_SHOWN = 5; // before the others are asked for
const SOUND_WAIT_MS = 400; // after the last change of tempo, before the sound is made anew

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
  const beats = tune.beats_a_minute ? String(Math.round(tune.beats_a_minute)) : '';
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

/** That a grade is worse than what is taken for played. @param {string} grade */
function countedText(grade) {
  return /^[A-E]$/.test(grade) && grade > state.habits.accept ? el('p', { class: 'hint' }, words.tune.notCounted) : null;
}

/** The buttons of a grip, each with its finger. @param {Grip} grip @returns {[Place, number | null][]} */
function heldButtons(grip) {
  return [...grip.basses.map((place, i) => /** @type {[Place, number | null]} */ ([place, grip.fingers?.basses[i] ?? null])),
    ...grip.chords.map((place, i) => /** @type {[Place, number | null]} */ ([place, grip.fingers?.chords[i] ?? null]))];
}

/** What to press, in words. @param {Layout} layout @param {Grip} grip */
function pressText(layout, grip) {
  return words.listed(heldButtons(grip).map(([place, finger]) => finger === null ? calledOf(layout, place)
    : words.tune.with(calledOf(layout, place), finger))) + (grip.fingers ? '' : `; ${words.tune.noFingers}`);
}

/** @param {Layout} layout @param {Way} way */
function fingersText(layout, way) {
  const second = way.alternating ? `; ${words.tune.alternate(calledOf(layout, way.alternating.bass),
    way.alternating.finger)}` : '';
  const bellows = [...way.basses, ...way.chords].find((place) => place.bellows)?.bellows;
  return pressText(layout, way) + second + (bellows ? words.tune.on(bellows) : '');
}

/** @param {Grip} one @param {Grip} other */
function sameButtons(one, other) {
  const keys = (/** @type {Grip} */ grip) => [...grip.basses, ...grip.chords].map(buttonKey).sort().join();
  return keys(one) === keys(other);
}

/** Buttons to light up. @param {Grip} grip @returns {Map<string, string>} */
function litBy(grip) {
  return new Map(grip.basses ? heldButtons(grip).map(([place, finger]) => [buttonKey(place), String(finger ?? '●')]) : []);
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
    this.best = NaN; // semitones to the key that the engine thinks best
    this.pace = 1; // how many times as fast as its own tempo, as set by the slider
    this.asking = false;
    this.bar = 0;
    this.chord = 0;
    this.timer = 0;
    /** @type {HTMLAudioElement | null} */
    this.audio = null;
    this.soundPace = 1; // at which that was made
    /** @type {Start[]} */
    this.starts = [];
    this.melody = false;
    this.playsTune = false; // and not a chord alone
    this.chart = el('div', { class: 'chart' });
    new ResizeObserver(() => this.fitBars()).observe(this.chart);
    this.panel = el('div', { class: 'panel' });
    this.sheet = el('div', { class: 'sheet' }); // filled before it is printed
    this.say = el('p', { class: 'hint', role: 'status' });
    this.playButton = button({ class: 'press primary' }, () => this.playOrPause().catch(tellFault), words.tune.play);
  }

  /** @returns {Written | undefined} */
  get written() {
    return this.tune.written[this.bar]?.[this.chord];
  }

  drawChart() {
    drawChart(this.chart, this.tune, (bar, chord) => this.select(bar, chord));
    this.chart.append(...this.chartLegend(), el('p', { class: 'fingers' }, this.tune.order));
    this.mark();
    this.fitBars();
  }

  /** What the lines under the chords mean, where there are any. */
  chartLegend() {
    const grades = new Set(this.tune.ways.map((way) => way.grade ?? way.verdict).filter((grade) => grade !== 'native'));
    return grades.size ? [el('p', { class: 'fingers chart-legend' }, words.tune.underlined, ...Object.keys(words.grades)
      .filter((grade) => grades.has(grade)).flatMap((grade) =>
        [' ', el('span', { class: `grade-${grade}` }, words.grades[grade])]))]
      : [];
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
    this.mark();
    this.drawPanel();
    this.showMark();
  }

  /** Has the chord that is marked in sight above the panel, with the line after it. */
  showMark() {
    const { offsetHeight } = this.panel;
    const covered = offsetHeight + (parseFloat(getComputedStyle(this.panel).bottom) || 0);
    this.chart.style.setProperty('--covered', `${Math.min(covered, innerHeight * 0.7)}px`);
    this.chart.querySelector('[aria-current]')?.scrollIntoView({ block: 'nearest' });
  }

  /** Sets as many bars to a line as leave each name whole. */
  fitBars() {
    const standing = document.body.classList.contains('at-stand');
    const tooWide = () => [...this.chart.querySelectorAll('.one-bar')].some((bar) => bar.scrollWidth > bar.clientWidth + 1);
    let columns = innerWidth >= 1280 ? 8 : standing && innerWidth <= 640 ? 2 : 4;
    this.chart.style.setProperty('--columns', String(columns));
    while (columns > 1 && tooWide()) {
      columns /= 2;
      this.chart.style.setProperty('--columns', String(columns));
    }
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

  /** Goes to the first chord of the bar before or after. @param {number} by */
  stepBar(by) {
    const { written } = this.tune;
    let bar = this.bar + by;
    while (written[bar] && !written[bar].length) {
      bar += by;
    }
    if (written[bar]) {
      this.select(bar, 0);
    }
  }

  /** Goes to the first chord that is called so, where there is one. @param {string} chord */
  selectChord(chord) {
    const bar = this.tune.written.findIndex((all) => all.some((one) => one.chord === chord));
    if (bar >= 0) {
      this.select(bar, this.tune.written[bar].findIndex((one) => one.chord === chord));
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
      grade && el('div', { class: 'row' }, ...this.hearing(written.chord)));
    if (!way) {
      return [head(''), el('p', {}, words.tune.silent)];
    }
    if (!way.basses) {
      return [head(words.grades[way.verdict]), el('p', { class: 'press-this' }, way.verdict === 'unread' ? words.tune.noChord
        : words.tune.noGrip), el('p', { class: 'hint reason' }), way.verdict === 'unread' ? null : this.others(written.chord)];
    }
    return [head(words.grades[way.grade]), el('p', { class: 'press-this' }, fingersText(this.layout, way)),
      el('p', { class: 'hint reason' }, reasonText(way)), countedText(way.grade), this.others(written.chord)];
  }

  /** Every way to play a chord, found when asked for. @param {string} chord */
  others(chord) {
    const list = el('ul', { class: 'ways' });
    const summary = el('summary', {}, words.tune.others);
    this.fillOthers(summary, list, chord).catch(tellFault);
    return el('details', {}, summary, list);
  }

  /** Shows another way in place of the tune's own: its buttons and its words. @param {Grip} grip */
  showOtherWay(grip) {
    this.panel.querySelector('.board-room')?.replaceChildren(boardFigure(this.layout, { lit: litBy(grip), lying: true }));
    for (const [place, text] of [['h2 small', ` ${words.grades[grip.grade]}`], ['.press-this', pressText(this.layout, grip)],
      ['.reason', reasonText(grip)]]) {
      const part = this.panel.querySelector(place);
      if (part) {
        part.textContent = text;
      }
    }
  }

  /** @param {HTMLElement} summary @param {HTMLElement} list @param {string} chord */
  async fillOthers(summary, list, chord) {
    const key = this.tune.key_source === 'none' ? [] : ['--key', this.tune.key];
    const { json } = await answerTo('chord', ['chord', chord, ...onBoard(), ...tasteOfChord(), ...key], true);
    const written = this.written;
    const now = written && written.way !== null ? this.tune.ways[written.way] : null;
    const grips = /** @type {Grip[]} */ (json?.grips ?? []).filter((grip) => !now?.basses || !sameButtons(grip, now));
    summary.textContent = words.tune.othersOf(grips.length);
    const ways = grips.map((grip) => this.otherWay(grip));
    const [some, rest] = [ways.slice(0, WAYS_SHOWN), ways.slice(WAYS_SHOWN)];
    list.replaceChildren(...(some.length ? some : [el('li', {}, words.tune.noOthers)]));
    if (rest.length) {
      list.append(el('li', {}, el('details', {}, el('summary', {}, words.tune.otherWays(rest.length)),
        el('ul', { class: 'ways' }, ...rest))));
    }
  }

  /** @param {Grip} grip */
  otherWay(grip) {
    const reason = reasonText(grip);
    return el('li', {}, button({ class: 'way', 'aria-pressed': 'false' }, (event) => {
      this.showOtherWay(grip);
      this.panel.querySelectorAll('.way').forEach((way) =>
        way.setAttribute('aria-pressed', String(way === event.currentTarget)));
    }, el('b', {}, words.grades[grip.grade]), `: ${pressText(this.layout, grip)}`, reason && el('small', {}, ` (${reason})`)));
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
    this.playsTune = false;
    this.audio = new Audio(URL.createObjectURL(new Blob([/** @type {BlobPart} */ (files['x.wav'])], { type: 'audio/wav' })));
    return this.audio;
  }

  /**
   * Whether a sound began. To be paused before that, as by the next sound, is no fault.
   * @param {HTMLAudioElement} audio
   */
  async begins(audio) {
    try {
      await audio.play();
      return true;
    } catch (error) {
      if (/** @type {Error} */ (error).name !== 'AbortError') {
        this.playButton.textContent = words.tune.play;
        this.say.textContent = words.tune.unheard(/** @type {Error} */ (error).message);
      }
      return false;
    }
  }

  /** Buttons that let a chord be heard: in its bar as this board plays it and as the tune has it. @param {string} chord */
  hearing(chord) {
    if (!this.timed) {
      return [button({ class: 'press' }, () => this.hear([chord, ...onBoard()], words.tune.hearHint), words.tune.hear)];
    }
    const bar = () => [...this.sounding(), '--bars', `${this.bar + 1}-${this.bar + 1}`];
    return [button({ class: 'press' }, () => this.hear(bar(), ''), words.tune.hear),
      button({ class: 'press' }, () => this.hear([...bar(), '--wanted'], ''), words.tune.wanted)];
  }

  /** @param {string[]} args @param {string} hint */
  async hear(args, hint) {
    try {
      const audio = await this.soundOf('sound', args);
      if (audio) {
        this.say.textContent = hint;
        await this.begins(audio);
      }
    } catch (error) {
      tellFault(error);
    }
  }

  get timed() {
    return this.tune.lengths && this.tune.quarters_a_minute > 0;
  }

  /** Options of taste, at the tempo that the slider says. */
  tasteNow() {
    const quarters = this.tune.quarters_a_minute;
    return this.pace === 1 ? taste() : taste(state.habits.tempo ? `1/4=${quarters * this.pace}`
      : `${Number((this.pace * 100).toFixed(4))}%`);
  }

  /** What `listen` takes for this tune. */
  sounding() {
    return [...only(this.at, this.move?.semitones ?? 0), '--title', this.tune.title, ...this.tasteNow()];
  }

  async playOrPause() {
    if (this.audio && this.playsTune && !this.audio.paused) {
      this.audio.pause();
    } else {
      await this.playFrom(0);
    }
  }

  /** Plays the tune from some place on. @param {number} beginning in seconds at its own tempo */
  async playFrom(beginning) {
    const { pace } = this;
    const audio = await this.soundOf('sound', [...this.sounding(), ...(this.melody ? ['--with-melody'] : [])]);
    if (!audio) {
      return;
    }
    this.say.textContent = '';
    this.playsTune = true;
    this.soundPace = pace;
    this.starts = startsOf(this.tune, pace);
    audio.currentTime = beginning / pace;
    audio.playbackRate = this.pace / pace;
    this.playButton.textContent = words.tune.pause;
    audio.addEventListener('pause', () => {
      this.playButton.textContent = this.audio === audio ? words.tune.play : words.tune.pause;
    });
    if (await this.begins(audio)) {
      this.follow(audio);
    }
  }

  /** Moves the mark along with what is heard. @param {HTMLAudioElement} audio */
  follow(audio) {
    const move = () => {
      if (!this.chart.isConnected) {
        audio.pause();
      }
      const now = audio.currentTime * this.soundPace;
      const at = this.starts.findLast((start) => start.seconds <= now);
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

  /** @param {number} pace how many times as fast as its own tempo */
  setPace(pace) {
    this.pace = pace;
    const playing = this.audio && !this.audio.paused && this.playsTune;
    if (this.audio && playing) {
      this.audio.playbackRate = pace / this.soundPace; // at once; the sound itself comes when the slider rests
    }
    clearTimeout(this.timer);
    this.timer = setTimeout(() => {
      if (this.audio && playing && !this.audio.paused) {
        this.playFrom(this.audio.currentTime * this.soundPace).catch(tellFault);
      }
    }, SOUND_WAIT_MS);
    this.markAnew();
  }

  /** Asks how the tune is played at the tempo there is now, until it is known for the last one. */
  async markAnew() {
    if (this.asking) {
      return;
    }
    this.asking = true;
    let known = NaN;
    while (known !== this.pace && this.chart.isConnected) {
      known = this.pace;
      const { json } = await answerTo('tune', ['tune', ...only(this.at, this.move?.semitones ?? 0), ...this.tasteNow()])
        .catch(() => ({ json: null }));
      const tune = /** @type {Tune | undefined} */ (pick(json?.tunes, this.at));
      if (tune) {
        const { quarters_a_minute, beats_a_minute } = this.tune; // the slider's own
        this.tune = { ...tune, quarters_a_minute, beats_a_minute };
        this.drawChart();
        this.drawPanel();
      }
    }
    this.asking = false;
  }

  tempoSlider() {
    const usual = Math.round(this.tune.beats_a_minute);
    const shown = el('output', {}, Math.round(usual * this.pace));
    const slider = el('input', { type: 'range', min: Math.max(20, Math.round(usual * 0.4)), max: Math.round(usual * 1.5),
      value: Math.round(usual * this.pace), on: { input: (/** @type {Event} */ event) => {
        const beats = Number(/** @type {HTMLInputElement} */ (event.target).value);
        shown.textContent = String(beats);
        this.setPace(beats / usual);
      } } });
    return el('label', { class: 'choice tempo' }, words.tune.tempo(this.tune.beat), slider, shown);
  }

  // ----------------------------------------------------------------------------------------------------------- keys

  keyChips() {
    const rank = (/** @type {Move} */ move) => move.semitones === this.best ? -1
      : ['native', 'plays', 'no'].indexOf(move.verdict);
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
      move.quarters ? el('small', {}, `${share}\u00a0%`) : null,
      el('small', { 'aria-hidden': 'true' }, words.tune.keyMeans[move.verdict]));
    });
    return el('section', { class: 'keys-section' }, el('h2', {}, words.tune.keys), el('p', { class: 'hint' }, words.tune.keysHint),
      el('div', { class: 'keys' }, ...chips));
  }

  /** @returns {HTMLElement[]} */
  draw() {
    const { tune } = this;
    const back = el('a', { class: 'press', href: cameFrom() || addressOf('tunes') }, `‹ ${words.tune.close}`);
    const standing = document.body.classList.contains('at-stand');
    const large = button({ class: 'press', 'aria-pressed': String(standing) }, (event) => {
      const wide = document.body.classList.toggle('at-stand');
      /** @type {Element} */ (event.currentTarget).setAttribute('aria-pressed', String(wide));
      this.fitBars();
      this.showMark();
    }, words.tune.large);
    const controls = this.timed
      ? { play: this.playButton, tempo: this.tempoSlider() }
      : { play: null, tempo: el('p', { class: 'hint' }, words.tune.untimed) };
    this.drawChart();
    this.select(0, 0);
    const head = el('div', { class: 'tune-head' }, back, el('h1', {}, tune.title), el('p', { class: 'meta' },
      this.move?.semitones ? `${words.tune.inKey(signs(this.move.key), this.move.called)} · ${tune.meter}`
        : metaText(tune), ' · ', el('a', { href: addressOf('board'), title: words.change },
        words.tune.onBoard(this.layout.layout))));
    const steps = el('div', { class: 'row steps-row' }, controls.play,
      button({ class: 'press', 'aria-label': words.tune.step.back }, () => this.stepBar(-1), '‹', el('span', {}, words.tune.step.bar)),
      button({ class: 'press', 'aria-label': words.tune.step.on }, () => this.stepBar(1), el('span', {}, words.tune.step.bar), '›'),
      controls.tempo, this.timed && this.moves[0]?.lowest ? this.melodyTick() : null, large);
    return [head, steps, this.say, el('div', { class: 'tune-body' }, this.chart, this.panel),
      el('div', { class: 'row after-tune' }, button({ class: 'press' }, () => print(), words.tune.print),
        el('a', { class: 'press', href: addressOf('keyboard', { tune: `${this.at.file}:${this.at.line}` }) }, words.tune.use),
        turnChoice(state.habits.turn || 'paper', () => this.drawPanel())),
      ...this.remarks(), this.keyChips(), this.sheet, el('p', { class: 'fingers' }, words.tune.fingers)];
  }

  melodyTick() {
    const box = /** @type {HTMLInputElement} */ (el('input', { type: 'checkbox' }));
    box.addEventListener('change', () => {
      this.melody = box.checked;
    });
    return el('label', { class: 'tick' }, box, words.tune.withMelody);
  }

  /** Each chord without a button of its own, with its keyboard, for paper. */
  fillSheet() {
    const marks = marksOf(this.tune.ways);
    const cards = this.tune.ways.map((way, i) => way.verdict === 'native' ? null : el('section', { class: 'sheet-card' },
      el('h2', {}, `${marks[i]} ${signs(way.chord)}`, el('small', {}, ` ${words.grades[way.grade ?? way.verdict]}`)),
      way.basses ? el('p', {}, fingersText(this.layout, way)) : el('p', {}, words.tune.noGrip),
      way.basses ? el('p', {}, reasonText(way)) : null,
      way.basses ? boardFigure(this.layout, { ...this.marksOf(way), onPaper: true }) : null));
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

/** @typedef {{seconds: number, bar: number, chord: number}} Start */

/**
 * When each chord begins at the tune's own tempo, in playing order.
 * @param {Tune} tune as it is at some pace
 * @param {number} pace
 * @returns {Start[]}
 */
function startsOf(tune, pace) {
  let seconds = 0;
  return tune.played.flatMap((number) => tune.written[number - 1].map(({ seconds: length }, chord) => {
    const start = { seconds, bar: number - 1, chord };
    seconds += length * pace;
    return start;
  }));
}

/** @type {Shown | null} */
let now = null;

addEventListener('beforeprint', () => now?.fillSheet());

addEventListener('keydown', (event) => {
  const within = /** @type {Element} */ (event.target).closest?.('input, select, textarea, details');
  const by = { ArrowRight: 1, ArrowLeft: -1, PageDown: 1, PageUp: -1 }[event.key];
  if (now?.chart.isConnected && !within && by) {
    event.preventDefault();
    if (event.key.startsWith('Page')) {
      now.stepBar(by);
    } else {
      now.step(by);
    }
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
  const pace = now && now.at.file === at.file && now.at.line === at.line ? now.pace : 1;
  now = new Shown(at, tune, layout.json, moves, move);
  now.best = /** @type {any} */ (pick(keys.json?.tunes, at))?.best_customary ?? NaN;
  if (pace !== 1) {
    now.pace = pace;
    addEventListener('shown', () => now?.markAnew(), { once: true });
  }
  root.replaceChildren(...now.draw());
  now.selectChord(more.get('chord') ?? '');
}
