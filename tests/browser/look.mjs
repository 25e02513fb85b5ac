// Opens the report pages of some folders in a real browser and says what is wrong with them.
// node look.mjs CHROMIUM FOLDER…   Each folder holds report.html and answer.json, and traces.csv where the replay is to be held against it.
import { chromium } from 'playwright-core';
import { readFileSync, statSync, existsSync } from 'node:fs';
import { createRequire } from 'node:module';

const [executablePath, ...folders] = process.argv.slice(2);
const axe = readFileSync(createRequire(import.meta.url).resolve('axe-core/axe.min.js'), 'utf8');
const quiet = ['--no-sandbox', '--disable-gpu', '--disable-quic', '--no-first-run', '--disable-background-networking', '--disable-component-update', '--disable-sync'];
const browser = await chromium.launch({ executablePath, args: quiet });
let wrong = 0, looked = 0;
const check = (name, holds, found = '') => { looked++; if (!holds) { wrong++; console.log(`${name}: ${typeof found === 'string' ? found : JSON.stringify(found)}`); } };
const pause = (ms) => new Promise((go) => setTimeout(go, ms));

/** Opens a page and collects everything it complains of or asks for. */
async function open(folder, options) {
  const context = await browser.newContext({ offline: true, ...options });
  const page = await context.newPage(), heard = [];
  page.on('console', (m) => heard.push(`console ${m.type()}: ${m.text()}`));
  page.on('pageerror', (e) => heard.push(`error: ${e.message}`));
  page.on('dialog', (d) => { heard.push(`dialog: ${d.message()}`); d.dismiss(); });
  page.on('request', (r) => { if (!r.url().startsWith('data:') && r.url() !== `file://${folder}/report.html`) heard.push(`request: ${r.url()}`); });
  await page.goto(`file://${folder}/report.html`);
  await pause(250);
  return { context, page, heard };
}

const at = (document, pointer) => pointer.split('/').slice(1).reduce((d, key) => d?.[key.replaceAll('~1', '/').replaceAll('~0', '~')], document);

/** The page says what answer.json says. */
async function sameNumbers(name, page, answer) {
  check(`${name}, sentence`, await page.locator('h1').textContent() === answer.answer, await page.locator('h1').textContent());
  check(`${name}, caution`, (await page.locator('.caution').textContent()).startsWith('Comfort and layout planning only'));
  const figures = await page.locator('data[data-key]').evaluateAll((all) => all.map((d) => [d.dataset.key, Number(d.getAttribute('value')), d.textContent]));
  check(`${name}, figures on the page`, figures.length >= 12, figures.length);
  const off = figures.filter(([key, value]) => at(answer, key) !== value);
  check(`${name}, figures as in answer.json`, off.length === 0, off.slice(0, 5));
  check(`${name}, every figure has words`, figures.every((f) => f[2].trim().length > 0));
}

/** Nobody is shut out. */
async function accessible(name, page) {
  await page.evaluate(() => document.querySelectorAll('details').forEach((d) => { d.open = true; }));
  const session = await page.context().newCDPSession(page);
  // the page lets no foreign script in, so the checker comes in beside it
  await session.send('Runtime.evaluate', { expression: axe });
  const { result } = await session.send('Runtime.evaluate', { expression: 'axe.run().then((r) => JSON.stringify(r.violations.map((v) => [v.id, v.nodes.length, v.nodes[0].html.slice(0, 120)])))', awaitPromise: true });
  check(`${name}, accessibility`, result.value === '[]', result.value);
  await page.evaluate(() => document.querySelectorAll('details').forEach((d) => { d.open = false; }));
}

// a phone that finds the page too wide zooms out: what counts is the width it was given
const fits = (page) => page.evaluate(() => document.documentElement.scrollWidth <= document.documentElement.clientWidth);
const box = async (page, what) => (await page.locator(what).first().boundingBox()) ?? { x: 0, y: 1e9, width: 0, height: 0 };

async function phone(folder, name, answer) {
  const { context, page, heard } = await open(folder, { viewport: { width: 390, height: 844 }, deviceScaleFactor: 2, hasTouch: true, isMobile: true });
  check(`${name} on a phone, no scrolling aside`, await fits(page));
  const [sentence, house] = [await box(page, 'h1'), await box(page, 'header figure svg')];
  check(`${name} on a phone, the answer is on the first screen`, sentence.y + sentence.height <= 844, sentence);
  check(`${name} on a phone, most of the house is on the first screen`, house.y + 0.75 * house.height <= 844, house);
  const small = await page.evaluate(() => {
    document.querySelectorAll('details').forEach((d) => { d.open = true; });
    const drawn = [...document.querySelectorAll('svg text')].map((t) => [parseFloat(getComputedStyle(t).fontSize) * Math.hypot(t.getScreenCTM().a, t.getScreenCTM().b), t.textContent]);
    const written = [...document.querySelectorAll('body *')].filter((e) => !e.closest('svg, script, style') && [...e.childNodes].some((n) => n.nodeType === 3 && n.textContent.trim())).map((e) => [parseFloat(getComputedStyle(e).fontSize), e.textContent.trim().slice(0, 40)]);
    document.querySelectorAll('details').forEach((d) => { d.open = false; });
    return [...drawn, ...written].filter(([size]) => size < 10.95);
  });
  check(`${name} on a phone, no text under 11 px`, small.length === 0, small.slice(0, 5));
  for (const copy of await page.locator('.copy').all()) check(`${name} on a phone, lines can be copied`, await copy.isVisible());
  for (const slide of await page.locator('.slide').all()) {
    const at = () => slide.locator('.after').evaluate((e) => getComputedStyle(e).clipPath);
    const before = await at();
    await slide.locator('input').fill('90');
    check(`${name} on a phone, before and after slide over each other`, before !== await at(), before);
  }
  check(`${name}, three numbers`, await page.locator('.numbers li').count() === 3);
  check(`${name}, every picture has its numbers`, await page.locator('figure').count() === await page.locator('figure details table').count());
  await sameNumbers(name, page, answer);
  await accessible(`${name} on a phone`, page);
  if (await page.locator('.player').count()) {
    for (const target of ['.play', '.next', '.speed select', '.scrub input', '.player fieldset label']) {
      const size = await box(page, target);
      check(`${name}, ${target} is large enough for a thumb`, size.height >= 44, size);
    }
    await page.locator('.stage').scrollIntoViewIfNeeded();
    await page.locator('.stage canvas').tap();
    check(`${name}, a tap on the house plays`, await page.locator('.play').textContent() === 'Pause');
    await page.locator('.play').tap();
    check(`${name}, a tap on the button stops`, await page.locator('.play').textContent() === 'Play');
  }
  check(`${name} on a phone, nothing to complain of`, heard.length === 0, heard);
  await context.close();
}

const drawn = (page) => page.locator('.stage canvas').evaluate((c) => c.toDataURL());
const clock = (page) => page.locator('.clock').textContent();

/** The replay moves, stops, is led by the keyboard, and shows what the traces say. */
async function replay(folder, name) {
  const { context, page, heard } = await open(folder, { viewport: { width: 1280, height: 900 }, colorScheme: 'dark' });
  if (await page.locator('.player').count() === 0) return context.close();
  const still = await drawn(page);
  await pause(300);
  check(`${name}, the replay waits to be played`, still === await drawn(page));
  await page.locator('.play').focus();
  await page.keyboard.press('Enter');
  await pause(900);
  const moved = await drawn(page);
  check(`${name}, the replay moves`, moved !== still);
  await page.keyboard.press('Space');
  const stopped = await drawn(page);
  await pause(400);
  check(`${name}, the replay stops`, stopped === await drawn(page));
  const scrub = page.locator('.scrub input');
  await scrub.focus();
  await page.keyboard.press('Home');
  const first = await clock(page);
  check(`${name}, nobody is there at first`, first.includes(' 0 guests') || /[ap]m0 guests/.test(first), first);
  for (let i = 0; i < 90; i++) await page.keyboard.press('ArrowRight');
  check(`${name}, arrows lead through the evening`, (await clock(page)) !== first, await clock(page));
  check(`${name}, the time is told to those who do not see it`, (await scrub.getAttribute('aria-valuetext')) === await clock(page));
  const evenings = JSON.parse(await page.locator('.evenings').textContent());
  if (evenings.length > 1) {
    const before = await drawn(page);
    await page.locator('input[name=evening]').first().focus();
    await page.keyboard.press('ArrowDown');
    check(`${name}, the other evening is another`, before !== await drawn(page));
  }
  await levels(name, page);
  if (existsSync(`${folder}/traces.csv`)) await asTraced(folder, name, page, evenings);
  check(`${name} in the dark, figures are dark`, (await page.evaluate(() => getComputedStyle(document.querySelector('.paper')).filter)).includes('invert'));
  check(`${name} in the dark, background`, await page.evaluate(() => getComputedStyle(document.body).backgroundColor) === 'rgb(27, 30, 35)');
  await accessible(`${name} in the dark`, page);
  check(`${name} in the dark, nothing to complain of`, heard.length === 0, heard);
  await context.close();
}

/** One level alone fills the width with the people on it, and all of them are to be had again. */
async function levels(name, page) {
  const radios = page.locator('input[name=level]'), stage = page.locator('.stage');
  if (await radios.count() === 0) return;
  const all = (await stage.boundingBox()).height;
  for (let i = 1; i < await radios.count(); i++) {
    await radios.nth(i).check();
    const { left, right, top, bottom } = await radios.nth(i).evaluate((r) => ({ ...r.dataset }));
    const own = await stage.boundingBox(), floors = await page.locator('.floors').boundingBox();
    check(`${name}, level ${i} alone fills the width`, Math.abs(floors.width * (right - left) / 600 - own.width) < 2, [floors, own]);
    check(`${name}, level ${i} alone is whole`, Math.abs(floors.width * (bottom - top) / 600 - own.height) < 2, [floors, own]);
  }
  await radios.first().check();
  check(`${name}, all levels are there again`, (await stage.boundingBox()).height === all);
}

/** Guests inside, in line and on each level, as the traces of the same evening have them. */
async function asTraced(folder, name, page, evenings) {
  const { guests, start } = JSON.parse(readFileSync(`${folder}/traced.json`, 'utf8'));
  const rows = readFileSync(`${folder}/traces.csv`, 'utf8').trim().split('\n').slice(1).map((l) => l.split(','));
  const levels = await page.locator('input[name=level][data-from]').evaluateAll((all) => all.map((r) => r.value));
  for (const [index, evening] of evenings.entries()) {
    await page.locator(`input[name=evening][value="${index}"]`).check();
    const own = rows.filter((r) => Number(r[0]) === evening.trial && Number(r[2]) < guests);
    const elsewhere = own.filter((r) => Number(r[3]) > 0 && r[6] !== 'away').map((r) => Math.floor(Number(r[1]) - evening.clock * 60 + start * 60));
    const moments = [0.2, 0.4, 0.6, 0.8].map((share) => Math.floor(evening.seconds * share));
    // the page knows tenths of a second: a moment at which somebody begins something else is not looked at, the next second is
    const offset = evening.clock * 60 - start * 60, changes = own.map((r) => Number(r[1]) - offset).filter((t) => t % 0.5 > 1e-6 && 0.5 - t % 0.5 > 1e-6);
    const settled = (second) => { while (changes.some((t) => Math.abs(t - second) < 0.06)) second++; return second; };
    for (const second of [...moments, ...[0.3, 0.5, 0.7].map((share) => elsewhere[Math.floor(elsewhere.length * share)])].filter((s) => s !== undefined).map(settled)) {
      const time = second + evening.clock * 60 - start * 60, doing = new Map(), level = new Map();
      for (const r of own) if (Number(r[1]) <= time) { doing.set(r[2], r[6]); level.set(r[2], Number(r[3])); }
      const inside = [...doing.values()].filter((d) => d !== 'away').length, line = [...doing.values()].filter((d) => d.startsWith('line:')).length;
      await page.locator('.scrub input').fill(String(second));
      const says = await clock(page);
      check(`${name}, evening ${evening.trial} at ${time} s as traced: ${inside} guests, ${line} in line`, says.includes(`${inside} guest${inside === 1 ? '' : 's'}, ${line} in line`), says);
      for (const [k, on] of levels.entries()) {
        const there = [...doing].filter(([who, does]) => does !== 'away' && level.get(who) === k).length;
        check(`${name}, evening ${evening.trial} at ${time} s as traced: ${there} on ${on}`, says.includes(`; ${on} ${there}`), says);
      }
    }
  }
}

/** Who asked for less motion gets a still picture a second. */
async function calm(folder, name) {
  const { context, page } = await open(folder, { viewport: { width: 390, height: 844 }, reducedMotion: 'reduce' });
  if (await page.locator('.player').count()) {
    const seen = new Set();
    await page.locator('.play').click();
    for (const end = Date.now() + 2500; Date.now() < end; await pause(50)) seen.add(await clock(page));
    check(`${name}, calm for those who ask`, seen.size >= 2 && seen.size <= 5, seen.size);
  }
  await context.close();
}

async function withoutScripts(folder, name, answer) {
  const { context, page, heard } = await open(folder, { viewport: { width: 390, height: 844 }, javaScriptEnabled: false });
  check(`${name} without scripts, sentence`, await page.locator('h1').textContent() === answer.answer);
  check(`${name} without scripts, pictures`, (await box(page, 'header figure svg')).height > 100);
  check(`${name} without scripts, no dead buttons`, await page.locator('.player:visible').count() === 0);
  await page.locator('summary').first().click();
  check(`${name} without scripts, folds open`, await page.locator('details table').first().isVisible());
  check(`${name} without scripts, nothing to complain of`, heard.length === 0, heard);
  await context.close();
}

async function onPaper(folder, name) {
  const { context, page } = await open(folder, { viewport: { width: 1280, height: 900 }, colorScheme: 'dark' });
  for (const format of ['A4', 'Letter']) {
    const pdf = await page.pdf({ format, printBackground: true });
    const pages = (pdf.toString('latin1').match(/\/Type \/Page\b/g) ?? []).length;
    check(`${name} on ${format}, pages`, pages >= 1 && pages <= 14, pages);
  }
  await page.emulateMedia({ media: 'print' });
  check(`${name} on paper, what was assumed is printed`, (await box(page, '.kept li')).height > 5);
  check(`${name} on paper, no buttons`, await page.locator('.player:visible').count() === 0);
  check(`${name} on paper, dark ink on white`, await page.evaluate(() => getComputedStyle(document.body).backgroundColor) === 'rgb(255, 255, 255)');
  await context.close();
}

/** What came from a file is text, and nothing else. */
async function onlyText(folder, name) {
  const { context, page, heard } = await open(folder, { viewport: { width: 390, height: 844 } });
  const scripts = await page.locator('script').evaluateAll((all) => all.map((s) => s.type || 'code'));
  check(`${name}, only our scripts`, scripts.filter((t) => t === 'code').length === 1 && scripts.length <= 2, scripts);
  check(`${name}, nothing ran`, await page.evaluate(() => window.ran === undefined));
  const handlers = await page.evaluate(() => [...document.querySelectorAll('*')].filter((e) => [...e.attributes].some((a) => a.name.startsWith('on'))).length);
  check(`${name}, no handlers`, handlers === 0, handlers);
  check(`${name}, one style`, await page.locator('style').count() === 1);
  check(`${name}, nothing from elsewhere`, await page.locator('img, iframe, object, embed, link, base, form').count() === 0);
  check(`${name}, nothing to complain of`, heard.length === 0, heard);
  await context.close();
}

for (const folder of folders) {
  const name = folder.split('/').pop(), answer = JSON.parse(readFileSync(`${folder}/answer.json`, 'utf8'));
  check(`${name}, under 2 MB`, statSync(`${folder}/report.html`).size < 2e6, statSync(`${folder}/report.html`).size);
  await phone(folder, name, answer);
  await replay(folder, name);
  await calm(folder, name);
  await withoutScripts(folder, name, answer);
  await onPaper(folder, name);
  await onlyText(folder, name);
}
await browser.close();
console.log(`${looked} looks, ${wrong} wrong`);
process.exit(wrong || !looked ? 1 : 0);
