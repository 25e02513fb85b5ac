'use strict';
(() => {
const player = document.querySelector('.player'), source = document.querySelector('.evenings');
if (!player || !source) return;
const find = (what) => player.querySelector(what);
const evenings = JSON.parse(source.textContent);
const at = Object.fromEntries(Object.entries(player.dataset).map(([k, v]) => [k, Number(v)]));
const calm = matchMedia('(prefers-reduced-motion: reduce)');
const floor = find('.stage canvas'), strip = find('.jams'), scrub = find('.scrub input'), play = find('.play'), speed = find('select');
const BODY = 0.23, LEAST = 4.2, STEP = 1, TRAIL = 10, FAR = 4, SPOT = 0.76;
const INK = '#262b33', PAPER = '#fbf9f4', MARK = '#1d5f8a', HELD = '#a3220f';

// whole numbers, seven bits a byte, each the difference to the one before
function people(text) {
  const bytes = Uint8Array.from(atob(text), (c) => c.charCodeAt(0));
  let i = 0;
  const number = () => { let n = 0, m = 1, b; do { b = bytes[i++]; n += (b & 127) * m; m *= 128; } while (b > 127); return n; };
  const signed = () => { const n = number(); return n % 2 ? -(n + 1) / 2 : n / 2; };
  return Array.from({ length: number() }, () => {
    const host = number() === 1, corners = number(), own = { host, t: [], x: [], y: [], does: [], k: 0 };
    let t = 0, x = 0, y = 0, does = 0;
    for (let c = 0; c < corners; c++) {
      const n = number();
      t += Math.floor(n / 2);
      if (n % 2) does = bytes[i++];
      x += signed(); y += signed();
      own.t.push(t / 10); own.x.push(x / 100); own.y.push(y / 100); own.does.push(does);
    }
    return own;
  });
}

// where somebody is at a second, and what they do; nothing if they are not there
function where(p, second) {
  const last = p.t.length - 1;
  if (last < 0 || second < p.t[0] || second > p.t[last]) return null;
  if (p.t[p.k] > second) p.k = 0;
  while (p.k < last && p.t[p.k + 1] <= second) p.k++;
  const k = p.k, does = p.does[k];
  if (!does) return null;
  if (k === last) return { x: p.x[k], y: p.y[k], does, way: 0 };
  const share = (second - p.t[k]) / Math.max(p.t[k + 1] - p.t[k], 0.1), dx = p.x[k + 1] - p.x[k], dy = p.y[k + 1] - p.y[k];
  return { x: p.x[k] + share * dx, y: p.y[k] + share * dy, does, way: Math.atan2(-dy, dx) };
}

// each doing has its own shape; held up is larger, ringed and crossed, so that it stands out without color
function sign(g, x, y, r, does, way) {
  const shape = (fill, line, draw, wide) => {
    g.beginPath(); draw();
    if (fill) { g.fillStyle = fill; g.fill(); }
    if (line) { g.strokeStyle = line; g.lineWidth = wide || r * 0.3; g.stroke(); }
  };
  const disc = (q) => () => g.arc(x, y, q, 0, 7);
  const box = (q) => () => g.rect(x - q, y - q, 2 * q, 2 * q);
  if (does === 1) {
    const c = Math.cos(way), s = Math.sin(way), to = (a, b) => [x + a * c - b * s, y + a * s + b * c];
    shape(MARK, PAPER, () => { g.moveTo(...to(r * 1.25, 0)); g.lineTo(...to(-r, -r * 0.85)); g.lineTo(...to(-r * 0.5, 0)); g.lineTo(...to(-r, r * 0.85)); g.closePath(); }, r * 0.14);
  } else if (does === 2) {
    shape(PAPER, HELD, disc(r * 1.75), r * 0.32);
    shape(HELD, null, disc(r * 1.25));
    const q = r * 0.6;
    shape(null, PAPER, () => { g.moveTo(x - q, y - q); g.lineTo(x + q, y + q); g.moveTo(x + q, y - q); g.lineTo(x - q, y + q); }, r * 0.3);
  } else if (does === 3) shape(PAPER, INK, box(r * 0.78));
  else if (does === 4) shape(INK, PAPER, box(r * 0.85), r * 0.12);
  else if (does === 5) shape(PAPER, INK, disc(r * 0.82), r * 0.26);
  else if (does === 6) { shape(PAPER, INK, disc(r * 0.82), r * 0.2); shape(INK, null, () => { g.arc(x, y, r * 0.82, 0, Math.PI); g.closePath(); }); }
  else if (does === 7) shape(INK, PAPER, () => { g.moveTo(x, y - r * 1.15); g.lineTo(x + r, y); g.lineTo(x, y + r * 1.15); g.lineTo(x - r, y); g.closePath(); }, r * 0.12);
}

// levels from the lowest, if there are several, and the one looked at
const levels = [...player.querySelectorAll('[name=level][data-from]')].map((r) => ({ name: r.value, from: Number(r.dataset.from), top: Number(r.dataset.top), bottom: Number(r.dataset.bottom), left: Number(r.dataset.left), right: Number(r.dataset.right) }));
let level = undefined;
let evening = evenings[0], guests = [], second = 0, playing = false, before = 0;
const zoom = () => level ? at.width / (level.right - level.left) : 1;
const sharp = (canvas) => {
  const ratio = Math.min((devicePixelRatio || 1) * (canvas === floor ? zoom() : 1), 4), w = Math.round(canvas.clientWidth * ratio), h = Math.round(canvas.clientHeight * ratio);
  if (canvas.width !== w || canvas.height !== h) { canvas.width = w; canvas.height = h; }
  const g = canvas.getContext('2d');
  g.setTransform(ratio, 0, 0, ratio, 0, 0);
  g.clearRect(0, 0, canvas.clientWidth, canvas.clientHeight);
  return g;
};
function time(s) {
  const m = Math.floor((((evening.clock + s / 60) % 1440) + 1440) % 1440), h = Math.floor(m / 60);
  return `${h % 12 || 12}:${String(m % 60).padStart(2, '0')} ${h < 12 ? 'am' : 'pm'}`;
}
function draw() {
  const g = sharp(floor), unit = floor.clientWidth / at.width, r = Math.max(BODY * at.scale * unit, LEAST), count = {};
  // a level alone fills the width
  if (level) { find('.stage').style.height = `${(level.bottom - level.top) * unit * zoom()}px`; find('.floors').style.transform = `translate(${-level.left * unit * zoom()}px, ${-level.top * unit * zoom()}px) scale(${zoom()})`; }
  const seen = guests.map((p) => [p, where(p, second)]).filter((s) => s[1]);
  seen.sort((a, b) => (a[1].does === 2) - (b[1].does === 2));
  const px = (x, y) => [(at.left + (x - at.west) * at.scale) * unit, (at.top + (at.north - y) * at.scale) * unit];
  jamSpots(g, px, unit);
  // faint trails of who is under way: the last ten seconds
  g.lineWidth = Math.max(r * 0.35, 1); g.lineCap = 'round'; g.strokeStyle = MARK; g.globalAlpha = 0.22;
  for (const [p, s] of seen) if (s.does === 1 || s.does === 2) {
    const way = [s];
    for (let back = 1; back <= TRAIL; back++) { const w = where(p, second - back); if (!w || Math.hypot(w.x - way[way.length - 1].x, w.y - way[way.length - 1].y) > FAR) break; way.push(w); }
    where(p, second);
    g.beginPath(); way.forEach((w, i) => i ? g.lineTo(...px(w.x, w.y)) : g.moveTo(...px(w.x, w.y))); g.stroke();
  }
  g.globalAlpha = 1;
  let inside = 0;
  const on = levels.map(() => 0);
  for (const [p, s] of seen) {
    count[s.does] = (count[s.does] || 0) + 1;
    inside += !p.host;
    if (!p.host && on.length) on[levels.findIndex((l) => s.y >= l.from)]++;
    sign(g, ...px(s.x, s.y), r, s.does, s.way);
  }
  const jams = evening.jams.filter(([from, to]) => from <= second && second <= to).map((j) => j[2]);
  const clock = find('.clock'), told = document.createElement('b');
  told.textContent = time(second);
  clock.replaceChildren(told, `${inside === 1 ? '1 guest' : `${inside} guests`}, ${count[3] || 0} in line, ${count[2] || 0} held up${levels.map((l, k) => `; ${l.name} ${on[k]}`).join('')}${jams.length ? `; a jam: ${jams.join('; ')}` : ''}`);
  scrub.value = String(Math.round(second));
  scrub.setAttribute('aria-valuetext', clock.textContent);
}
// a ring where it jams now, which grows and fades once a second of watching; still for those who ask for less motion
function jamSpots(g, px, unit) {
  for (const [from, to, , x, y] of evening.jams) if (from <= second && second <= to && x !== null) {
    const share = calm.matches || !playing ? 0.5 : (performance.now() % 1000) / 1000, [cx, cy] = px(x, y);
    g.beginPath(); g.arc(cx, cy, at.scale * unit * SPOT * (0.8 + 0.5 * share), 0, 7);
    g.strokeStyle = HELD; g.globalAlpha = 0.75 * (1 - share * 0.7); g.lineWidth = 3; g.stroke(); g.globalAlpha = 1;
  }
}
function drawStrip() {
  const g = sharp(strip), w = strip.clientWidth, h = strip.clientHeight;
  g.fillStyle = getComputedStyle(player).color;
  g.globalAlpha = 0.18; g.fillRect(0, h / 2 - 1, w, 2); g.globalAlpha = 1;
  for (const [from, to] of evening.jams) g.fillRect(8 + (w - 16) * from / evening.seconds, 0, Math.max((w - 16) * (to - from) / evening.seconds, 2.5), h);
}
function choose(index) {
  evening = evenings[index];
  guests = people(evening.people);
  scrub.max = String(Math.floor(evening.seconds));
  second = evening.begin;
  find('.next').disabled = evening.jams.length === 0;
  find('.scrub .hint').textContent = evening.jams.length === 0 ? 'Nothing jams on this evening.' : 'Dark marks: jams.';
  drawStrip(); draw();
}
function run(on) {
  playing = on && second < evening.seconds;
  play.textContent = playing ? 'Pause' : 'Play';
  before = 0;
  if (playing) requestAnimationFrame(frame);
}
function frame(now) {
  if (!playing) return;
  const passed = before ? Math.min((now - before) / 1000, 0.5 + STEP) : 0;
  // who asked for less motion sees a still picture each second
  if (!calm.matches || passed >= STEP || !before) {
    before = now;
    second = Math.min(second + passed * Number(speed.value), evening.seconds);
    draw();
  }
  if (second >= evening.seconds) return run(false);
  requestAnimationFrame(frame);
}
const toggle = () => { if (!playing && second >= evening.seconds) second = 0; run(!playing); };
play.addEventListener('click', toggle);
floor.addEventListener('click', toggle);
scrub.addEventListener('input', () => { second = Number(scrub.value); before = 0; draw(); });
const jump = (by) => { second = Math.min(Math.max(second + by, 0), evening.seconds); before = 0; draw(); };
for (const button of player.querySelectorAll('[data-jump]')) button.addEventListener('click', () => jump(Number(button.dataset.jump)));
const keys = { ' ': toggle, PageUp: () => jump(-600), PageDown: () => jump(600), j: () => jump(-60), l: () => jump(60) };
scrub.addEventListener('keydown', (e) => { if (keys[e.key]) { e.preventDefault(); keys[e.key](); } });
find('.next').addEventListener('click', () => {
  const middles = evening.jams.map((j) => (j[0] + j[1]) / 2).sort((a, b) => a - b);
  second = middles.find((s) => s > second + 1) ?? middles[0];
  draw();
});
for (const radio of player.querySelectorAll('[name=evening]')) radio.addEventListener('change', () => { run(false); choose(Number(radio.value)); });
for (const radio of player.querySelectorAll('[name=level]')) radio.addEventListener('change', () => {
  level = levels.find((l) => l.name === radio.value);
  if (!level) { find('.stage').style.height = ''; find('.floors').style.transform = ''; }
  draw();
});
player.hidden = false;
for (const canvas of player.querySelectorAll('.sign')) {
  const g = canvas.getContext('2d');
  sign(g, 22, 22, 10.5, Number(canvas.dataset.state), 0);
}
// signs stand on paper, as on the house
new ResizeObserver(() => { drawStrip(); draw(); }).observe(floor);
choose(0);
})();
