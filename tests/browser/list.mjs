// The list of inquiries: all of them, and what a search or a filter leaves.

import assert from "node:assert/strict";
import { test } from "node:test";
import { follow, looking } from "./browser.mjs";

/** `1 of 59 inquiries; …` as numbers. */
async function found(page) {
  const line = await page.locator("main .head p.soft").innerText();
  const numbers = line.match(/^(\d+) of (\d+) inquir/);
  assert.ok(numbers, `the line says how many out of how many: ${line}`);
  return { shown: Number(numbers[1]), all: Number(numbers[2]) };
}

/** Ids of the inquiries on the page, top first. */
async function ids(page) {
  const links = await page.locator("main .led .b > p > a").all();
  return Promise.all(links.map(async (a) => (await a.getAttribute("href")).replace("/inquiries/", "")));
}

/** Ids over all pages of the list at an address, following `Older`. */
export async function everyId(page, address) {
  await page.goto(address);
  const all = await ids(page);
  for (let older = page.getByRole("link", { name: "Older" }); (await older.count()) > 0; ) {
    await follow(page, older);
    all.push(...(await ids(page)));
  }
  return all;
}

export function list(stage) {
  test("every inquiry outside the seal is listed once, counted out of all", () =>
    looking(stage, {}, async (page) => {
      const expected = stage.inquiries.map((i) => i.id);
      assert.deepEqual((await everyId(page, "/inquiries")).sort(), expected.sort());
      await page.goto("/inquiries");
      assert.deepEqual(await found(page), { shown: expected.length, all: expected.length });
      assert.ok(expected.length > 40, "the demo fills more than one page");
    }));

  test("a word typed into the search box at the top narrows the list", () =>
    looking(stage, {}, async (page) => {
      await page.goto("/phones");
      await page.getByLabel("Find", { exact: true }).fill("hackberry");
      await page.keyboard.press("Enter");
      await page.waitForURL("**/inquiries?q=hackberry");
      assert.deepEqual(await found(page), { shown: 1, all: stage.inquiries.length });
      assert.match(await page.locator("main .led").innerText(), /Hackberry leaves with nipple-shaped bumps/);
    }));

  test("a search without accents finds what was written with them", () =>
    looking(stage, {}, async (page) => {
      const search = (words) => everyId(page, `/inquiries?q=${encodeURIComponent(words)}`);
      const written = stage.inquiries.filter((i) => /manchas pequeñas/.test(i.fields.summary)).map((i) => i.id);
      assert.ok(written.length > 0);
      assert.deepEqual(await search("manchas pequenas"), written);
      assert.deepEqual(await search("manchas pequeñas"), written);
    }));

  test("a filter in the address leaves what is like that and stays chosen in the form", () =>
    looking(stage, {}, async (page) => {
      const there = new Set(stage.sites.filter((s) => s.fields.township === "Tern Hollow").map((s) => s.id));
      const expected = stage.inquiries.filter((i) => there.has(i.fields.site)).map((i) => i.id);
      assert.ok(expected.length > 1 && expected.length < stage.inquiries.length);
      assert.deepEqual((await everyId(page, "/inquiries?township=Tern+Hollow")).sort(), expected.sort());
      assert.deepEqual(await found(page), { shown: expected.length, all: stage.inquiries.length });
      assert.equal(await page.getByLabel("Township").inputValue(), "Tern Hollow");
    }));

  test("filters chosen in the form come together in the address", () =>
    looking(stage, {}, async (page) => {
      const expected = stage.inquiries.filter((i) => i.fields.taken_by === "Scout 2" && i.fields.status === "closed");
      await page.goto("/inquiries");
      await page.getByLabel("Taken by").selectOption("Scout 2");
      await page.getByLabel("Where it stands").selectOption("closed");
      await follow(page, page.getByRole("button", { name: "Choose these" }));
      assert.match(page.url(), /status=closed/);
      assert.match(page.url(), /scout=Scout\+2/);
      assert.deepEqual((await ids(page)).sort(), expected.map((i) => i.id).sort());
      await follow(page, page.getByRole("link", { name: "Show all" }));
      assert.equal((await found(page)).shown, stage.inquiries.length);
    }));

  test("days choose by when an inquiry was opened", () =>
    looking(stage, {}, async (page) => {
      const day = (i) => i.fields.opened.slice(0, 10);
      const days = stage.inquiries.map(day).sort();
      const [since, until] = [days[Math.floor(days.length / 3)], days[Math.floor((days.length * 2) / 3)]];
      const expected = stage.inquiries.filter((i) => day(i) >= since && day(i) <= until).map((i) => i.id);
      assert.deepEqual((await everyId(page, `/inquiries?since=${since}&until=${until}`)).sort(), expected.sort());
      assert.equal(await page.getByLabel("Opened on or after").inputValue(), since);
    }));

  test("inquiries with a stop, and those in which phones disagree, can be chosen", () =>
    looking(stage, {}, async (page) => {
      const stopped = stage.inquiries.filter((i) => (i.fields.stops ?? []).length > 0).map((i) => i.id);
      assert.ok(stopped.length > 1);
      assert.deepEqual((await everyId(page, "/inquiries?stop=yes")).sort(), stopped.sort());
      assert.equal(await page.locator(".led .reason", { hasText: "Stop:" }).count() >= stopped.length, true);
      assert.deepEqual(await everyId(page, "/inquiries?conflict=yes"), stage.disputed);
    }));

  test("a search that finds nothing says so, and what to do", () =>
    looking(stage, {}, async (page) => {
      await page.goto("/inquiries?q=zzyzx");
      assert.deepEqual(await found(page), { shown: 0, all: stage.inquiries.length });
      assert.match(await page.locator("main").innerText(), /None of \d+ inquiries is like this\. What to do:/);
    }));
}
