// The season board and the report of a month: bars, the tables that say the same, paper.

import assert from "node:assert/strict";
import { test } from "node:test";
import { follow, looking } from "./browser.mjs";

/** The ISO week of a day of records, such as `2026-07-20T…`, as `2026-W30`. */
function week(opened) {
  const day = new Date(`${opened.slice(0, 10)}T12:00:00Z`);
  const thursday = new Date(day.getTime() + (4 - (day.getUTCDay() || 7)) * 86_400_000);
  const first = Date.UTC(thursday.getUTCFullYear(), 0, 1);
  return { year: thursday.getUTCFullYear(), week: Math.floor((thursday.getTime() - first) / 604_800_000) + 1 };
}

/** The first row of the weekly tables: count by week. */
async function byWeek(page) {
  const found = new Map();
  for (const table of await page.locator("table.weeks").all()) {
    const heads = await table.locator("thead th").allInnerTexts();
    const cells = await table.locator("tbody tr").first().locator("td").allInnerTexts();
    heads.slice(1).forEach((head, at) => found.set(head.replace("*", ""), cells[at]));
  }
  return found;
}

export function season(stage) {
  test("every week of the tables holds what the office holds of it, and the bars are as many", () =>
    looking(stage, {}, async (page) => {
      await page.goto("/season?year=2026&from=10&to=40");
      const told = await byWeek(page);
      const counts = new Map();
      for (const { fields } of stage.inquiries.filter((i) => i.fields.consent?.count !== false && i.fields.opened)) {
        const at = week(fields.opened);
        if (at.year === 2026) counts.set(at.week, (counts.get(at.week) ?? 0) + 1);
      }
      assert.ok(counts.size > 8);
      for (let n = 10; n <= 40; n += 1) {
        const expected = counts.get(n) ?? 0;
        assert.match(told.get(String(n)), expected === 0 ? /^none$/ : new RegExp(` of ${expected}$`), `week ${n}`);
      }
      const drawn = await page.locator(".allweeks svg rect.c-all").count();
      assert.equal(drawn, [...counts.keys()].filter((n) => n >= 10 && n <= 40).length);
    }));

  test("weeks, place and plant chosen in the form come into the address, and a panel leads to list and map", () =>
    looking(stage, {}, async (page) => {
      await page.goto("/season");
      await page.getByLabel("Plant", { exact: true }).selectOption("tomato_family");
      await page.getByLabel("From week", { exact: true }).selectOption("20");
      await follow(page, page.getByRole("button", { name: "Choose these" }));
      assert.match(page.url(), /from=20/);
      assert.match(page.url(), /host=tomato_family/);
      const panel = page.locator(".panels figure").first();
      assert.match(await panel.locator("h3").innerText(), /^Tomato/);
      await panel.getByRole("link", { name: /^Map/ }).click();
      await page.waitForURL("**/map?*cause=*");
      assert.match(await page.locator("main .head p").first().innerText(), /^\d+ of \d+ inquiries about Tomato/);
    }));

  test("the report of a month stands on paper with its counts and nothing that is for the screen", () =>
    looking(stage, {}, async (page) => {
      await page.goto("/season/report?month=2026-07");
      assert.equal(await page.getByRole("button", { name: "Print" }).isVisible(), true);
      await page.emulateMedia({ media: "print" });
      for (const gone of [".top", "#printing", ".skip"]) assert.equal(await page.locator(gone).first().isVisible(), false, gone);
      assert.match(await page.locator("h1").innerText(), /^Report for July 2026$/);
    }));
}
