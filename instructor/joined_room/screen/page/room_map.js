// The map: piers and the links between them. Places are worked out anew only when the plan of the
// room, a state or a fault is another one; numbers that change move nothing.

import {keep, make, put, write} from './drawing.js';
import {RADIUS} from './geometry.js';
import {cellsFor, settle} from './lattice.js';
import {isCalm, placeNames, placeSlots, stretch} from './places.js';
import {isAwaited, isLossy, linkSentence, nameOf, slotWords} from './words.js';

const LINE = 29, ENDS = 22, MARGIN_TOP = 22, MARGIN_BELOW = 77;
const AT_FAULT = 'at fault'; // for a long one: the list at the side has it all
const lane = bits => bits < 5000 ? 1.5 : Math.min(2 + 10 * Math.sqrt(bits / 2e6), 16);

export class RoomMap {
  /** `wish` is told what to pull or mend, `choose` which pier was clicked, `tell` what to say. */
  constructor(svg, {wish, choose, tell}) {
    Object.assign(this, {svg, wish, choose, tell});
    [this.lines, this.ways, this.leaders, this.slots, this.piers, this.over] =
      Array.from({length: 6}, () => make(svg, 'g'));
    this.links = new Map();
    this.nodes = new Map();
    this.steps = new Map();
    this.at = null;  // the link that the Tab key comes to
    this.names = new Map();
    this.measure = document.createElement('canvas').getContext('2d');
    svg.addEventListener('keydown', event => this.walk(event));
  }

  /** Draw a view; `marked` has a path, its two ends, and the pier at which a packet is. */
  show(view, marked) {
    this.view = view;
    this.members = new Map(view.members.map(one => [one.pier, one]));
    const lines = view.links.filter(one => one.ends.every(pier => this.members.has(pier)));
    this.links_by_number = new Map(lines.map(one => [one.number, one]));
    if (!this.links_by_number.has(this.at)) this.at = lines[0]?.number ?? null;
    this.layOut(view, lines);
    keep(this.links, lines.map(one => one.number), number => this.makeLink(number));
    keep(this.nodes, view.members.map(one => one.pier), pier => this.makePier(pier));
    for (const link of lines) this.drawLink(link);
    for (const one of view.members) this.drawPier(one, marked);
    this.drawWay(marked);
    if (this.pointed && this.links_by_number.has(this.pointed)) this.describe(this.pointed);
  }

  // --- places

  layOut(view, lines) {
    const {width, height} = this.svg.getBoundingClientRect();
    const rem = parseFloat(getComputedStyle(document.documentElement).fontSize);
    const [wide, high] = [width / rem * 24, height / rem * 24].map(Math.round);
    const plan = JSON.stringify([wide, high, view.members.map(one => [one.pier, one.x, one.y, wordsBelow(one, view)]),
      lines.map(one => [one.number, one.ends])]);
    if (plan === this.plan || !wide || !view.members.length) return;
    this.plan = plan;
    put(this.svg, {viewBox: `0 0 ${wide} ${high}`});
    const area = {left: 2, top: 2, right: wide - 2, bottom: high - 2};
    this.names = this.settlePiers(view, lines, area);
    this.thin = lines.length > 70 ? 0.45 : lines.length > 30 ? 0.65 : 1;
    const segments = lines.map(one => ({key: one.number, from: this.places.get(one.ends[0]), to: this.places.get(one.ends[1])}));
    const sizes = new Map(view.members.map(one => [one.pier, this.sizeOf(one, wordsBelow(one, view))]));
    this.names = placeNames(this.places, segments.map(one => [one.from, one.to]), sizes, area, {before: this.names, isLattice: this.isLattice});
    const bodies = [...this.places.values()].map(one => ({left: one.x - ENDS, right: one.x + ENDS, top: one.y - ENDS, bottom: one.y + ENDS}));
    this.places_of_words = placeSlots(segments, [...[...this.names.values()].flatMap(one => one.parts), ...bodies], area);
  }

  /** Put the piers where the plan has them; where their names would not fit, into a lattice. */
  settlePiers(view, lines, area) {
    const ends = lines.map(one => one.ends), plan = view.members.map(one => ({key: one.pier, x: one.x, y: one.y}));
    const key = JSON.stringify([plan, ends, area]);
    if (key === this.settled) return this.names;
    this.settled = key;
    const sizes = new Map(view.members.map(one => [one.pier, this.sizeOf(one, [])]));
    const widest = Math.max(...[...sizes.values()].map(one => one.width));
    const inner = {left: area.left + widest / 2 + 2, right: area.right - widest / 2 - 2, top: area.top + MARGIN_TOP, bottom: area.bottom - MARGIN_BELOW};
    const points = stretch(plan, inner);
    this.places = new Map(points.map(one => [one.key, one]));
    this.isLattice = false;
    const names = placeNames(this.places, ends.map(both => both.map(pier => this.places.get(pier))), sizes, area);
    if (isCalm(names)) return names;
    this.isLattice = true;
    this.places = settle(points, ends, cellsFor(points.length, inner, widest + 5, 2 * RADIUS + LINE + 5));
    return new Map();
  }

  sizeOf(one, below) {
    const {fontFamily} = getComputedStyle(this.svg);
    this.measure.font = `650 24px ${fontFamily}`;
    const name = this.measure.measureText(one.pier).width;
    this.measure.font = `24px ${fontFamily}`;
    const rows = [name, ...below.map(each => this.measure.measureText(each).width)].map(width => width + 4);
    return {width: Math.max(...rows), height: LINE * rows.length, rows};
  }

  // --- links

  makeLink(number) {
    const root = make(this.lines, 'g'), touch = {};
    touch.root = root;
    touch.ring = make(root, 'line', {class: 'ring'});
    touch.lanes = [make(root, 'line', {class: 'lane'}), make(root, 'line', {class: 'lane'})];
    touch.torn = make(root, 'path', {class: 'torn'});
    touch.hit = make(root, 'line', {class: 'touch', role: 'button'});
    touch.slot = make(this.slots, 'g');
    touch.paper = make(touch.slot, 'rect');
    touch.words = [make(touch.slot, 'text'), make(touch.slot, 'text')];
    root.remove = () => { touch.slot.remove(); Element.prototype.remove.call(root); };
    touch.hit.addEventListener('click', () => this.press(number));
    touch.hit.addEventListener('focus', () => { this.at = number; this.describe(number); this.drawTabs(); });
    root.addEventListener('pointerenter', () => this.describe(number));
    for (const name of ['blur', 'pointerleave']) {
      (name === 'blur' ? touch.hit : root).addEventListener(name, () => { this.pointed = null; this.tell(''); });
    }
    return touch;
  }

  drawLink(link) {
    const touch = this.links.get(link.number), [from, to] = link.ends.map(pier => this.places.get(pier));
    const far = Math.hypot(to.x - from.x, to.y - from.y) || 1;
    const [dx, dy] = [(to.x - from.x) / far, (to.y - from.y) / far], isUp = link.state === 'up';
    const awaited = isAwaited(link, this.members);
    put(touch.root, {class: `link ${awaited ? 'awaited' : link.state}`});
    const whole = {x1: from.x, y1: from.y, x2: to.x, y2: to.y};
    put(touch.hit, {...whole, tabindex: link.number === this.at ? 0 : -1,
      'aria-label': `${link.state === 'pulled' ? 'Mend' : 'Pull'} the link ${nameOf(link)}${link.state === 'down' ? ', which is down' : ''}`});
    put(touch.ring, whole);
    touch.lanes.forEach((one, way) => {
      const width = isUp ? Math.max(1.5, lane(link.bits_per_s[way]) * this.thin) : 1.5, by = (width / 2 + 0.5) * (way ? -1 : 1);
      const shown = isUp || awaited ? '' : 'none', lost = link.lost_share[way];
      put(one, {x1: from.x - dy * by, y1: from.y + dx * by, x2: to.x - dy * by, y2: to.y + dx * by,
        'stroke-width': width.toFixed(1), class: isLossy(link) && lost >= 0.005 ? 'lane loses' : 'lane', display: shown || 'inline'});
    });
    const end = (at, sign) => { // a piece of the line from one pier, with a bar where it is torn off
      const [x, y] = [at.x + sign * dx * far * 0.3, at.y + sign * dy * far * 0.3];
      return `M${at.x} ${at.y}L${x} ${y}M${x - dy * 13} ${y + dx * 13}L${x + dy * 13} ${y - dx * 13}`;
    };
    put(touch.torn, {d: isUp || awaited ? 'M0 0' : link.state === 'pulled' ? end(from, 1) + end(to, -1)
      : `M${from.x} ${from.y}L${to.x} ${to.y}`, display: isUp || awaited ? 'none' : 'inline'});
    this.drawSlot(link, touch, awaited);
  }

  drawSlot(link, touch, awaited) {
    const box = this.places_of_words.get(link.number);
    const words = box && !awaited ? slotWords(link, box.isSmall).slice(0, box.rows) : [];
    const bad = link.state !== 'up' || isLossy(link);
    put(touch.slot, {class: bad ? 'slot bad' : 'slot', display: words.length ? 'inline' : 'none'});
    if (!words.length) return;
    const wide = Math.max(...words.map(one => one.length)) * 13.5 + 8, high = words.length * 29 + 1;
    put(touch.paper, {x: box.x - Math.min(wide, box.right - box.left) / 2, y: box.y - high / 2, width: Math.min(wide, box.right - box.left), height: high, rx: 5});
    touch.words.forEach((one, row) => {
      write(one, words[row] ?? '');
      put(one, {x: box.x, y: box.y + 8.5 + (row - (words.length - 1) / 2) * 29, display: words[row] ? 'inline' : 'none'});
    });
  }

  describe(number) {
    this.pointed = number;
    const link = this.links_by_number.get(number);
    this.tell(`${linkSentence(link, this.members)} Click or Enter: ${link.state === 'pulled' ? 'mend' : 'pull'}.`);
  }

  press(number) {
    const link = this.links_by_number.get(number);
    if (link) this.wish({wish: link.state === 'pulled' ? 'mend' : 'pull', link: number});
  }

  drawTabs() {
    for (const [number, touch] of this.links) put(touch.hit, {tabindex: number === this.at ? 0 : -1});
  }

  walk(event) {
    const numbers = [...this.links_by_number.keys()], place = numbers.indexOf(this.at);
    if (!event.target.classList.contains('touch')) return;
    if (event.key === 'Enter' || event.key === ' ') { event.preventDefault(); this.press(this.at); return; }
    const to = {ArrowRight: place + 1, ArrowDown: place + 1, ArrowLeft: place - 1, ArrowUp: place - 1, Home: 0, End: -1}[event.key];
    if (to === undefined) return;
    event.preventDefault();
    this.links.get(numbers.at(to % numbers.length)).hit.focus();
  }

  // --- piers

  makePier(pier) {
    const root = make(this.piers, 'g'), leader = make(this.leaders, 'line', {class: 'leader'});
    const parts = {root, leader, body: make(root, 'circle', {class: 'body'})};
    parts.half = make(root, 'path', {class: 'half', d: `M0 ${-RADIUS}a${RADIUS} ${RADIUS} 0 0 0 0 ${2 * RADIUS}z`});
    parts.cross = make(root, 'path', {class: 'cross', d: 'M-7 -7L7 7M7 -7L-7 7'});
    parts.mark = make(root, 'text', {class: 'mark', y: 9});
    parts.words = Array.from({length: 3}, (_, row) => make(root, 'text', {class: row ? 'what' : 'name'}));
    root.remove = () => { leader.remove(); Element.prototype.remove.call(root); };
    root.addEventListener('click', () => this.choose(pier));
    return parts;
  }

  drawPier(one, marked) {
    const parts = this.nodes.get(one.pier), at = this.places.get(one.pier), box = this.names.get(one.pier);
    const letter = marked.ends.indexOf(one.pier), faulty = one.faults.length > 0;
    const below = wordsBelow(one, this.view);
    const chosen = letter >= 0;
    put(parts.root, {class: ['pier', one.state, faulty ? 'faulty' : '', chosen && !faulty ? 'chosen' : ''].join(' '),
      transform: `translate(${at.x.toFixed(1)} ${at.y.toFixed(1)})`});
    put(parts.body, {r: chosen ? ENDS - 2 : faulty ? RADIUS + 3 : RADIUS - 2});
    write(parts.mark, chosen ? 'AB'[letter] : faulty ? '!' : '');
    const edge = {start: box.left + 2, middle: (box.left + box.right) / 2, end: box.right - 2}[box.anchor];
    [one.pier, ...below].forEach((words, row) => {
      write(parts.words[row], words);
      put(parts.words[row], {x: edge - at.x, y: box.top - at.y + 22 + row * LINE, 'text-anchor': box.anchor, display: 'inline'});
    });
    parts.words.slice(1 + below.length).forEach(each => { write(each, ''); put(each, {display: 'none'}); });
    put(parts.leader, box.leader ? {x1: at.x, y1: at.y, x2: box.end.x, y2: box.end.y, display: 'inline'} : {display: 'none'});
  }

  // --- the way of a stream, or of one packet

  drawWay({path, at, moves}) {
    // Where a line is down the way is torn as well: then the line itself is seen.
    const carries = hop => [...this.links_by_number.values()].every(link => link.state === 'up' || !hop.every(pier => link.ends.includes(pier)));
    const hops = path.slice(1).map((pier, n) => [path[n], pier]).filter(hop => hop.every(pier => this.places.has(pier)) && carries(hop));
    keep(this.steps, hops.map(hop => hop.join('\n')), () => this.makeHop());
    for (const hop of hops) {
      const parts = this.steps.get(hop.join('\n')), [from, to] = hop.map(pier => this.places.get(pier));
      const line = {x1: from.x, y1: from.y, x2: to.x, y2: to.y};
      put(parts.halo, line);
      put(parts.band, line);
      put(parts.dots, {...line, display: moves ? 'inline' : 'none'});
      const [x, y] = [from.x + (to.x - from.x) * 0.8, from.y + (to.y - from.y) * 0.8];
      const turn = Math.atan2(to.y - from.y, to.x - from.x) * 180 / Math.PI;
      put(parts.arrow, {d: 'M-11 -12L13 0L-11 12z', transform: `translate(${x.toFixed(1)} ${y.toFixed(1)}) rotate(${turn.toFixed(1)})`});
    }
    const place = at && this.places.get(at);
    if (place && !this.token) {
      this.token = make(this.over, 'g', {class: 'token-at'});
      make(this.token, 'circle', {class: 'token-ring', r: 27});
      make(this.token, 'rect', {class: 'token', x: -14, y: -11, width: 28, height: 22, rx: 4});
    }
    if (this.token) {
      put(this.token, {display: place ? 'inline' : 'none'});
      if (place) this.token.style.transform = `translate(${place.x}px, ${place.y}px)`;
    }
  }

  makeHop() {
    const root = make(this.ways, 'g');
    return {root, halo: make(root, 'line', {class: 'way-halo'}), band: make(root, 'line', {class: 'way'}), dots: make(root, 'line', {class: 'stream-dots'}), arrow: make(root, 'path', {class: 'arrow'})};
  }
}

/** The words under a pier's name: its state if it is away, and its faults, unless they are long. */
function wordsBelow(one, view) {
  const longest = view.members.length > 30 ? 12 : 25; // letters; the list at the side says it all
  const away = one.state === 'asleep' || one.state === 'gone' ? [one.state] : [];
  const faults = one.faults.map(fault => fault.length > longest ? AT_FAULT : fault);
  return [...new Set([...away, ...faults])].slice(0, 2);
}
