// Opens pages in Chromium and says what is there: node look.mjs FOLDER PAGE...
//
// For each page and width: findings of axe-core, the sizes of what must be seen, and pictures of it in FOLDER. The
// verdict is the caller's (tests/page.rs).
import { createRequire } from 'node:module';
import { readFileSync, writeFileSync } from 'node:fs';
import { basename, join } from 'node:path';
import { pathToFileURL } from 'node:url';
import { chromium } from 'playwright-core';

const axe = readFileSync(createRequire(import.meta.url).resolve('axe-core/axe.min.js'), 'utf8');
const [folder, ...pages] = process.argv.slice(2);
const browser = await chromium.launch({ executablePath: process.env.CHROMIUM ?? '/usr/bin/chromium', args: ['--no-sandbox'] });
const seen = [];
for (const file of pages) {
  for (const width of [360, 1280]) {
    // The page forbids every script; the checker is let in past that.
    const context = await browser.newContext({ viewport: { width, height: 800 }, bypassCSP: true });
    const page = await context.newPage();
    const asked = [];
    page.on('request', (request) => asked.push(request.url()));
    await page.goto(pathToFileURL(file).href);
    const name = join(folder, `${basename(file, '.html')}-${width}`);
    await page.screenshot({ path: `${name}.png`, fullPage: true });
    await page.evaluate(axe);
    const found = await page.evaluate(() => axe.run());
    const boxes = async (selector) => {
      const all = await page.locator(selector).all();
      return Promise.all(all.map((one) => one.boundingBox()));
    };
    if (await page.locator('svg').count()) await page.locator('svg').first().screenshot({ path: `${name}-plot.png` });
    if (await page.locator('img').count()) await page.locator('img').first().screenshot({ path: `${name}-light.png` });
    const pdf = width === 1280 ? await page.pdf({ format: 'A4' }) : null;
    if (pdf) writeFileSync(`${name}.pdf`, pdf);
    seen.push({
      page: basename(file),
      width,
      scroll_width: await page.evaluate(() => document.documentElement.scrollWidth),
      violations: found.violations.map((one) => `${one.id}: ${one.nodes.map((node) => node.html).join(' ')}`),
      rules_passed: found.passes.length,
      incomplete: found.incomplete.map((one) => one.id),
      asked: asked.filter((url) => !url.startsWith('data:')).length,
      // Heads of tables in which one word takes more than one line.
      broken_words: await page.locator('th').evaluateAll((all) => all.flatMap((one) => {
        const range = document.createRange();
        const words = [...one.childNodes].filter((node) => node.nodeType === Node.TEXT_NODE);
        return words.flatMap((node) => [...node.data.matchAll(/\S+/g)].filter((word) => {
          range.setStart(node, word.index);
          range.setEnd(node, word.index + word[0].length);
          return range.getClientRects().length > 1;
        }).map((word) => word[0]));
      })),
      headings: await page.locator('h1, h2, h3').allInnerTexts(),
      text: await page.locator('main').innerText(),
      letters: await page.locator('svg text').evaluateAll((all) => all.map((one) => one.getBoundingClientRect().height)),
      plots: await boxes('svg'),
      pictures: await boxes('img'),
      loaded: await page.locator('img').evaluateAll((all) => all.map((one) => one.naturalWidth)),
    });
    await context.close();
  }
}
await browser.close();
process.stdout.write(JSON.stringify(seen));
