// The map: the drawing and the table that say the same, and the map that moves where a browser can draw it.

import assert from "node:assert/strict";
import { rm, writeFile } from "node:fs/promises";
import path from "node:path";
import { after, before, test } from "node:test";
import { PNG } from "pngjs";
import { baseMap } from "./base_map.mjs";
import { looking, openBrowser } from "./browser.mjs";

/** Draws with the processor: a test machine has no graphics card. */
export const DRAWS = ["--use-angle=swiftshader", "--enable-unsafe-swiftshader", "--ignore-gpu-blocklist"];
/** A plant that the demo county has in several townships. */
const CHOSEN = "/map?host=tomato_family";

/** How many different colors a picture has, and how much of it is the commonest. */
function looked(png) {
  const { data } = PNG.sync.read(png);
  const counts = new Map();
  for (let at = 0; at < data.length; at += 4) {
    const color = data.readUIntBE(at, 3);
    counts.set(color, (counts.get(color) ?? 0) + 1);
  }
  return { colors: counts.size, most: Math.max(...counts.values()) / (data.length / 4) };
}

/** Rows of the table: number, name, count. */
const rows = (page) =>
  page.locator("table.places tbody tr[data-number]").evaluateAll((all) =>
    all.map((row) => {
      const name = row.querySelector("th a") ?? row.querySelector("th");
      return { name: name.textContent.trim(), count: row.querySelectorAll("td")[1].textContent.trim(), placed: "placed" in row.dataset };
    }));

/** The map that moves, once it is drawn. */
async function moving(page, address) {
  await page.goto(address);
  await page.locator(".moved[data-ready=yes]").waitFor();
  return page.locator(".moved canvas");
}

export function map(stage) {
  let drawing;
  const live = { get browser() { return drawing; } };
  before(async () => {
    drawing = await openBrowser(DRAWS);
    Object.assign(live, { base: stage.base, session: stage.session });
  });
  after(() => drawing.close());

  test("the table counts what the office holds, and each row leads to just these inquiries", () =>
    looking(stage, {}, async (page) => {
      await page.goto(CHOSEN);
      const told = await rows(page);
      assert.ok(told.length >= 8, "every township has a row");
      const about = new Set(stage.plants.filter((p) => p.fields.host === "tomato_family").map((p) => p.fields.inquiry));
      const may = stage.inquiries.filter((i) => i.fields.consent?.count !== false);
      for (const { name, count } of told) {
        const there = may.filter((i) => `${stage.siteOf(i)?.fields.township} township` === name);
        const n = there.filter((i) => about.has(i.id)).length;
        const expected = there.length === 0 ? "none asked" : `${n} of ${there.length}`;
        if (name.endsWith("township")) assert.equal(count, expected, name);
      }
      const [first] = told.filter(({ count }) => /^[1-9]/.test(count));
      await page.getByRole("link", { name: first.name, exact: true }).click();
      await page.waitForURL("**/inquiries?*");
      assert.match(page.url(), /host=tomato_family/);
      assert.match(await page.locator("main .head p").first().innerText(), new RegExp(`^${first.count.split(" ")[0]} of `));
    }));

  test("without script, and where a browser cannot draw, the drawing stands with every area and the table beside it", async () => {
    const plain = await stage.browser.newContext({ baseURL: stage.base, storageState: stage.session, javaScriptEnabled: false });
    try {
      const page = await plain.newPage();
      await page.goto(CHOSEN);
      assert.equal(await page.locator("#drawn .m-area").count(), 8);
      assert.equal(await page.locator("#live").isVisible(), false);
      assert.match(await page.locator("#drawn svg title").textContent(), /inquiries about Tomato/);
      assert.equal((await rows(page)).filter((r) => r.placed).length, 8);
      assert.ok(await page.locator("#drawn .m-outline").getAttribute("d"));
    } finally {
      await plain.close();
    }
    await looking(stage, {}, async (page) => {
      await page.addInitScript(() => {
        HTMLCanvasElement.prototype.getContext = () => null;
      });
      await page.goto(CHOSEN);
      await page.waitForLoadState("networkidle");
      assert.equal(await page.locator("#drawn").isVisible(), true);
      assert.equal(await page.locator("#live").isVisible(), false);
    });
  });

  test("the map that moves draws the areas, asks no other host, and prints as the drawing", () =>
    looking(live, {}, async (page) => {
      const canvas = await moving(page, CHOSEN);
      const { colors, most } = looked(await canvas.screenshot());
      assert.ok(colors > 20 && most < 0.95, `${colors} colors, ${most} of it one of them`);
      assert.equal(await page.locator("#drawn").isVisible(), false);
      await page.emulateMedia({ media: "print" });
      assert.equal(await page.locator("#drawn").isVisible(), true);
      assert.equal(await canvas.isVisible(), false);
    }));

  test("keys alone move the map, show an area and lead to its inquiries", () =>
    looking(live, {}, async (page) => {
      const canvas = await moving(page, CHOSEN);
      const picture = async () => {
        await page.waitForTimeout(600);
        return (await canvas.screenshot()).toString("base64");
      };
      await canvas.focus();
      const still = await picture();
      assert.equal(await picture(), still, "it stands still by itself");
      await page.keyboard.press("ArrowRight");
      const moved = await picture();
      assert.notEqual(moved, still, "an arrow key moves it");
      await page.keyboard.press("Equal");
      assert.notEqual(await picture(), moved, "plus brings it closer");
      const show = page.getByRole("button", { name: /^Show on the map: Tern Hollow/ });
      await show.focus();
      await page.keyboard.press("Enter");
      const said = page.locator(".told");
      assert.match(await said.innerText(), /Tern Hollow township: \d+ of \d+/);
      assert.equal(await said.getAttribute("aria-live"), "polite");
      assert.equal(await page.locator("tr.shown th a").innerText(), "Tern Hollow township");
      await said.getByRole("link").focus();
      await page.keyboard.press("Enter");
      await page.waitForURL("**/inquiries?*township=Tern+Hollow*");
    }));

  test("one can go from the map that moves to the drawing and back, and dark draws darkly", () =>
    looking(live, { scheme: "dark" }, async (page) => {
      const canvas = await moving(page, "/map");
      const { data, width } = PNG.sync.read(await canvas.screenshot());
      // Within the line around it.
      const ground = data[(8 * width + 8) * 4];
      assert.ok(ground < 60, `the ground is dark: ${ground}`);
      await page.getByRole("button", { name: "Show the drawing" }).click();
      assert.equal(await page.locator("#drawn").isVisible(), true);
      await page.keyboard.press("Enter");
      assert.equal(await canvas.isVisible(), true, "the way back has the focus");
    }));

  test("a base map that the county drops in is drawn, with its source under it as plain words", async () => {
    const file = path.join(stage.office, "basemap.pmtiles");
    let bare;
    await looking(live, {}, async (page) => {
      bare = (await (await moving(page, "/map")).screenshot()).toString("base64");
    });
    await writeFile(file, baseMap({ attribution: '<a href="//elsewhere.invalid">Somebody <b>invented</b></a><img src="//elsewhere.invalid/x">' }));
    try {
      await looking(live, {}, async (page) => {
        const parts = [];
        page.on("response", (r) => r.url().endsWith("basemap.pmtiles") && parts.push(r.status()));
        const canvas = await moving(page, "/map");
        assert.ok(parts.length > 0 && parts.every((status) => status === 206), parts.join());
        assert.equal(await page.locator(".source").innerText(), "Base map: Somebody invented");
        assert.notEqual((await canvas.screenshot()).toString("base64"), bare);
      });
    } finally {
      await rm(file);
    }
  });
}
