// Whether everybody can use the page: narrow windows, light and dark, assistive technology, the keyboard alone.

import assert from "node:assert/strict";
import { readFileSync } from "node:fs";
import { createRequire } from "node:module";
import { test } from "node:test";
import { looking } from "./browser.mjs";
import { keep } from "./kept.mjs";

const AXE = readFileSync(createRequire(import.meta.url).resolve("axe-core/axe.min.js"), "utf8");
const RULES = ["wcag2a", "wcag2aa", "wcag21aa", "wcag22aa"];

/** Every kind of page: its name, its address, the status it answers with when that is no plain answer. */
const pages = (stage) => [
  ["the list", "/inquiries"],
  ["a list that is narrowed", "/inquiries?township=Tern+Hollow&stop=yes"],
  ["a list with a day that is none", "/inquiries?since=soon"],
  ["the saved views", "/views"],
  ["an inquiry with stops", `/inquiries/${stage.limb.id}`],
  ["an inquiry with two plants", `/inquiries/${stage.beans.id}`],
  ["an inquiry with a sample", `/inquiries/${stage.sampled.id}`],
  ["a disputed inquiry, all shown", `/inquiries/${stage.disputed[0]}?place=full&contact=full`],
  ["the map", "/map"],
  ["the map, shaded, by cell", "/map?host=tomato_family&by=cell"],
  ["the season", "/season"],
  ["the report of a month", "/season/report?month=2026-07"],
  ["photos side by side", `/inquiries/${stage.beans.id}/photos?${stage.photos
    .filter((p) => p.fields.inquiry === stage.beans.id).slice(0, 2).map((p) => `photo=${p.id}`).join("&")}`],
  ["the log of bundles", "/take-in"],
  ["a bundle", "/take-in/1"],
  ["bundles that came together", "/take-in/1-3"],
  ["a file not taken in", stage.refusedBundle],
  ["the phones", "/phones"],
  ["what was set aside", "/set-aside"],
  ["how the office is", "/health-of-office"],
  ["signing in", "/sign-in"],
  ["a recovery code", "/recover"],
  ["one's own account", "/account"],
  ["the people", "/people"],
  ["the audit", "/audit"],
  ["a search for one person's data", "/person"],
  ["one person's data", `/person/${stage.beans.fields.contact}`],
  ["how long is kept", "/keeping"],
  ["under seal", `/inquiries/${stage.sealed[0].id}`, 403],
  ["no page", "/nowhere", 404],
];

/** What axe-core finds, one line each. */
export async function complaints(page) {
  await page.evaluate(AXE);
  const found = await page.evaluate(
    (tags) => globalThis.axe.run(document, { runOnly: tags, resultTypes: ["violations"], preload: false }),
    RULES,
  );
  assert.ok(found.passes.length > 5, "it looked at something");
  return found.violations.flatMap((v) => v.nodes.map((n) => `${v.id}: ${n.html.slice(0, 160)}: ${n.failureSummary}`));
}

/** How far the page can be pushed sideways, and what sticks out, in CSS pixels. */
export const sideways = (page) =>
  page.evaluate(() => {
    const { scrollWidth, clientWidth } = document.documentElement;
    const held = (e) => e && (getComputedStyle(e).overflowX !== "visible" || held(e.parentElement));
    const out = [...document.body.querySelectorAll("*")]
      .filter((e) => e.getBoundingClientRect().right > clientWidth + 1 && !held(e.parentElement))
      .map((e) => `${e.tagName} ${e.className?.baseVal ?? e.className} ${e.textContent.trim().slice(0, 40)}`);
    return { pushed: scrollWidth - clientWidth, out };
  });

/** What has the focus: its words, whether one sees it and that it has the focus. */
export const focus = (page) =>
  page.evaluate(() => {
    const e = document.activeElement;
    const { outlineStyle, outlineWidth } = getComputedStyle(e);
    const { left, right, top, bottom } = e.getBoundingClientRect();
    const inView = right > 0 && bottom > 0 && left < innerWidth && top < innerHeight;
    return {
      words: (e.labels?.[0]?.textContent ?? e.textContent).trim(),
      ringed: outlineStyle !== "none" && parseFloat(outlineWidth) >= 2,
      inView,
    };
  });

/** Widths of a window, in CSS pixels: a narrow one, a phone, a tablet, a desk. */
const WIDTHS = [320, 390, 768, 1280];

/**
 * Nothing of an open page can be pushed sideways in any window, and axe-core finds nothing in that of a phone and of a desk. Pictures
 * are kept.
 */
export async function fits(page, name, scheme) {
  for (const width of WIDTHS) {
    await page.setViewportSize({ width, height: 900 });
    assert.deepEqual(await sideways(page), { pushed: 0, out: [] }, `${name}, ${width} px`);
    if ([390, 1280].includes(width)) assert.deepEqual(await complaints(page), [], `${name}, ${width} px, ${scheme}`);
    if (width > 320) await keep(page, name, scheme, width);
  }
}

export function reach(stage) {
  for (const scheme of ["light", "dark"]) {
    test(`axe-core finds nothing and nothing scrolls sideways, ${scheme}, 320 to 1280 px`, async () => {
      for (const [name, address, refused = null] of pages(stage)) {
        await looking(stage, { scheme, width: 320, refused }, async (page) => {
          await page.goto(address);
          const ground = await page.evaluate(() => getComputedStyle(document.body).backgroundColor);
          const [red] = ground.match(/\d+/).map(Number);
          assert.equal(red < 60, scheme === "dark", `${name} is ${scheme}: ${ground}`);
          await fits(page, name, scheme);
        });
      }
    });
  }

  test("the first Tab shows a link past the head, and it leads there", () =>
    looking(stage, {}, async (page) => {
      await page.goto("/inquiries");
      await page.keyboard.press("Tab");
      assert.deepEqual(await focus(page), { words: "To the page itself", ringed: true, inView: true });
      await page.keyboard.press("Enter");
      await page.waitForURL("**#main");
      await page.keyboard.press("Tab");
      assert.ok(await page.evaluate(() => document.querySelector("main").contains(document.activeElement)));
    }));

  test("the keyboard alone reaches the search box and searches", () =>
    looking(stage, {}, async (page) => {
      await page.goto("/take-in");
      const reached = [];
      while (reached.at(-1) !== "Find" && reached.length < 20) {
        await page.keyboard.press("Tab");
        reached.push((await focus(page)).words);
      }
      assert.equal(reached[0], "To the page itself");
      assert.ok(reached.includes("Inquiries") && reached.includes("People") && reached.at(-1) === "Find", reached.join(", "));
      await page.keyboard.type("hackberry");
      await page.keyboard.press("Enter");
      await page.waitForURL("**/inquiries?q=hackberry");
    }));

  test("whatever has the focus is in view and ringed, on every page", async () => {
    for (const [name, address, refused = null] of pages(stage)) {
      await looking(stage, { refused }, async (page) => {
        await page.goto(address);
        const stops = await page.locator(":is(a[href], button, input, select, summary):visible").count();
        assert.ok(stops >= 5);
        for (let n = 0; n < stops; n += 1) {
          await page.keyboard.press("Tab");
          const { words, ringed, inView } = await focus(page);
          assert.ok(ringed && inView, `${name}: ${words}: ringed ${ringed}, in view ${inView}`);
        }
      });
    }
  });

  test("what these tests measure with can fail", async () => {
    const bad = `<html lang="en"><title>x</title><h1 style="width:2000px;color:#ccc;background:#fff">pale</h1>
      <input><ul><li>a<li>b</ul><p>c <a href="#">d</a>`;
    await looking(stage, {}, async (page) => {
      await page.setContent(bad);
      const said = (await complaints(page)).map((line) => line.split(":")[0]);
      assert.ok(said.includes("color-contrast") && said.includes("label"), said.join(", "));
      assert.ok((await sideways(page)).pushed > 0);
    });
    const show = (html) => looking(stage, {}, (page) => page.setContent(html));
    await assert.rejects(show('<img src="http://127.0.0.2:9/picture">'), /asked elsewhere: http:\/\/127\.0\.0\.2:9/);
    await assert.rejects(show("<script>undefined.of</script>"), /script: /);
    await assert.rejects(show("<script>console.error('broken')</script>"), /console: broken/);
    await assert.rejects(looking(stage, {}, (page) => page.goto("/nowhere")), /404: /);
  });
}
