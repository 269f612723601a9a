import { existsSync, mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { createRequire } from 'node:module';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { pathToFileURL } from 'node:url';
import type { AxeResults } from 'axe-core';
import { type Browser, chromium, type Page } from 'playwright-core';
import { afterAll, beforeAll, describe, expect, it, vi } from 'vitest';
import { htmlPage } from '../../src/present/htmlPage.js';
import { madeUpPage } from './madeUpPage.js';

const BROWSER = ['/usr/bin/chromium', '/usr/bin/chromium-browser'].find(existsSync);
/** A browser takes seconds on a busy machine. */
const timeout = 120_000;
vi.setConfig({ testTimeout: timeout });

const WIDTHS = [360, 800, 1400] as const;
const SCHEMES = ['light', 'dark'] as const;
const views = WIDTHS.flatMap((width) => SCHEMES.map((scheme) => ({ width, scheme })));

describe.skipIf(BROWSER === undefined)('the page in a browser (skipped where there is none)', () => {
  let browser: Browser;
  let folder: string;
  let address: string;

  beforeAll(async () => {
    folder = mkdtempSync(join(tmpdir(), 'dewledger-page-'));
    const file = join(folder, 'page.html');
    writeFileSync(file, [...htmlPage(madeUpPage)].join(''));
    address = pathToFileURL(file).href;
    browser = await chromium.launch({ executablePath: BROWSER!, args: ['--no-sandbox'] });
  }, timeout);

  afterAll(async () => {
    await browser?.close();
    rmSync(folder, { recursive: true, force: true });
  });

  /** The page at a width, and what it said and asked for. */
  async function opened(width: number, colorScheme: 'light' | 'dark') {
    const page = await browser.newPage({ viewport: { width, height: 900 }, colorScheme });
    const said: string[] = [];
    const asked: string[] = [];
    page.on('console', (message) => said.push(message.text()));
    page.on('pageerror', (error) => said.push(String(error)));
    page.on('request', (request) => asked.push(request.url()));
    await page.goto(address);
    return { page, said, asked };
  }

  describe.each(views)('$width px wide, $scheme', ({ width, scheme }) => {
    let view: Awaited<ReturnType<typeof opened>>;
    beforeAll(async () => {
      view = await opened(width, scheme);
    }, timeout);
    afterAll(() => view.page.close());

    it('asks for itself alone and says nothing to the console', () => {
      expect(view.asked).toEqual([address]);
      expect(view.said).toEqual([]);
    });

    it('is not wider than the window, open or folded', async () => {
      expect(await tooWide(view.page)).toBe(0);
      await unfold(view.page);
      expect(await tooWide(view.page)).toBe(0);
    });

    it('has no text in a chart that lies over another, is cut off, or is smaller than 11 px', async () => {
      const faults = await view.page.evaluate(() => {
        const found: string[] = [];
        for (const chart of document.querySelectorAll('svg.plot')) {
          const boxes = [...chart.querySelectorAll('text')]
            .map((text) => ({ said: text.textContent, box: text.getBoundingClientRect() }))
            .filter(({ box }) => box.width > 0);
          for (const [i, { said, box }] of boxes.entries()) {
            if (box.left < 0 || box.right > innerWidth) found.push(`${said} is cut off`);
            for (const other of boxes.slice(i + 1)) {
              const apart =
                box.right <= other.box.left ||
                other.box.right <= box.left ||
                box.bottom <= other.box.top + 2 ||
                other.box.bottom <= box.top + 2;
              if (!apart) found.push(`${said} over ${other.said}`);
            }
          }
        }
        for (const text of document.querySelectorAll('text, li, td, small, figcaption')) {
          if (Number.parseFloat(getComputedStyle(text).fontSize) < 11)
            found.push(`${text.textContent} is small`);
        }
        return found;
      });
      expect(faults).toEqual([]);
    });

    // It takes seconds, and between these two widths nothing changes that it looks at.
    it.skipIf(width === 800)(
      'has no fault that a checker of accessibility finds, contrast and all',
      async () => {
        await unfold(view.page);
        await view.page.evaluate(
          readFileSync(createRequire(import.meta.url).resolve('axe-core/axe.min.js'), 'utf8'),
        );
        const results = await view.page.evaluate(
          () => Reflect.get(window, 'axe').run() as Promise<AxeResults>,
        );
        expect(results.violations.map(({ id, nodes }) => `${id}: ${nodes[0]?.html}`)).toEqual([]);
      },
    );
  });

  it('a calendar is a list on a telephone, and weeks from Monday where there is room', async () => {
    const places = async (width: number) => {
      const { page } = await opened(width, 'light');
      const boxes = await page.locator('.days li').evaluateAll((days) =>
        days.slice(0, 12).map((day) => {
          const { left, top } = day.getBoundingClientRect();
          return { left: Math.round(left), top: Math.round(top) };
        }),
      );
      await page.close();
      return boxes;
    };
    const listed = await places(360);
    expect(new Set(listed.map(({ left }) => left)).size).toBe(1);
    const weeks = await places(1400);
    // 1 October 2025 is a Wednesday: the sixth stands at the left, under nothing, a row further down.
    expect(weeks[5]!.left).toBeLessThan(weeks[0]!.left);
    expect(weeks[5]!.top).toBeGreaterThan(weeks[4]!.top);
    expect(weeks[7]!.left).toBe(weeks[0]!.left);
  });

  it('the keyboard reaches links, tables that scroll and folded parts, in the order of the page', async () => {
    const { page } = await opened(360, 'light');
    const reached: { name: string; top: number }[] = [];
    for (let i = 0; i < 7; i++) {
      await page.keyboard.press('Tab');
      reached.push(
        await page.evaluate(() => {
          const { tagName } = document.activeElement!;
          return { name: tagName, top: document.activeElement!.getBoundingClientRect().top + scrollY };
        }),
      );
    }
    expect(reached.map(({ name }) => name)).toEqual(['A', 'A', 'A', 'A', 'A', 'SUMMARY', 'SUMMARY']);
    const tops = reached.map(({ top }) => top);
    expect(tops).toEqual([...tops].sort((a, b) => a - b));
    await page.keyboard.press('Enter');
    await page.keyboard.press('Tab');
    expect(await page.evaluate(() => document.activeElement?.className)).toBe('scroll');
    await page.close();
  });

  it('on paper everything is open, in the colours of daylight', async () => {
    const { page } = await opened(690, 'dark');
    const folded = page.locator('details').first().locator('table');
    expect(await folded.isVisible()).toBe(false);
    await page.emulateMedia({ media: 'print', colorScheme: 'dark' });
    expect(await folded.isVisible()).toBe(true);
    expect(await page.evaluate(() => getComputedStyle(document.body).color)).toBe('rgb(28, 42, 51)');
    expect(await tooWide(page)).toBe(0);
    await page.close();
  });
});

function tooWide(page: Page): Promise<number> {
  return page.evaluate(() => document.documentElement.scrollWidth - innerWidth);
}

function unfold(page: Page): Promise<void> {
  return page.evaluate(() => {
    for (const part of document.querySelectorAll('details')) part.open = true;
  });
}
