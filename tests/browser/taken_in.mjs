// The log of what was handed in: what was refused and what was cut, each with its reason.

import assert from "node:assert/strict";
import { test } from "node:test";
import { looking } from "./browser.mjs";

export function takenIn(stage) {
  test("a changed file and one of another office are not taken in, with the reason", () =>
    looking(stage, {}, async (page) => {
      await page.goto("/take-in");
      for (const [file, why] of [
        ["flipped-byte.yard", /Why: Bytes were changed on the way\. Ask for the file again\./],
        ["next-door.yard", /Why: It is sealed to another office\. Hand it to the office it was made for\./],
      ]) {
        const row = page.locator("ol.led > li", { hasText: file });
        assert.equal(await row.count(), 1, file);
        const words = (await row.innerText()).replace(/\s+/g, " ");
        assert.match(words, why);
        assert.match(words, /Not taken in/);
        assert.doesNotMatch(words, /Office has it/);
      }
    }));

  test("a file that was cut says that its end is missing, and what it was called", () =>
    looking(stage, {}, async (page) => {
      await page.goto("/take-in");
      const row = page.locator("ol.led > li", { hasText: "Its end is missing." });
      assert.equal(await row.count(), 1);
      assert.match(await row.innerText(), /ask for the file again to get the rest/);
      await row.getByRole("link").click();
      await page.waitForURL("**/take-in/*");
      assert.match(await page.locator("main .head").innerText(), /cut-on-the-way\.yard/);
    }));

  test("every file that was handed in is in the log, and every sum adds up", () =>
    looking(stage, {}, async (page) => {
      await page.goto("/take-in");
      const rows = page.locator("section", { hasText: "newest first" }).locator("ol.led > li");
      const line = await page.locator("main .head p").innerText();
      assert.equal(await rows.count(), Number(line.match(/^(\d+) files were handed in/)[1]));
      const hrefs = await rows.getByRole("link").evaluateAll((links) => links.map((a) => a.getAttribute("href")));
      assert.equal(new Set(hrefs).size, await rows.count());
      let summed = 0;
      for (const href of hrefs) {
        await page.goto(href);
        const numbers = (await page.locator(".sum b").allInnerTexts()).map((n) => Number(n.replaceAll(",", "")));
        if (numbers.length === 0) continue;
        const [came, ...parts] = numbers;
        assert.equal(parts.length, 3, href);
        assert.equal(came, parts.reduce((a, b) => a + b), href);
        assert.ok(came > 0, href);
        summed += 1;
      }
      assert.ok(summed > 10);
    }));

  test("a bundle leads from the disagreement to its inquiry", () =>
    looking(stage, {}, async (page) => {
      await page.goto("/take-in");
      const hrefs = await page.locator("ol.led > li a").evaluateAll((links) => links.map((a) => a.getAttribute("href")));
      const look = page.getByRole("link", { name: "Look at the inquiry" });
      let found = false;
      for (const href of hrefs.filter((h) => h.startsWith("/take-in/"))) {
        await page.goto(href);
        if ((found = (await look.count()) > 0)) break;
      }
      assert.ok(found, "a bundle brought what disagrees");
      await look.first().click();
      await page.waitForURL(`**/inquiries/${stage.disputed[0]}`);
    }));

  test("every phone says what the office has of it", () =>
    looking(stage, {}, async (page) => {
      await page.goto("/phones");
      const labels = (await page.locator("tbody th").allInnerTexts()).map((text) => text.split("\n")[0]);
      assert.deepEqual(labels, ["Scout 1", "Scout 2", "Scout 3", "Scout 4", "Scout 5"]);
      for (const row of await page.locator("tbody tr").all()) assert.match(await row.innerText(), /1 to \d+/);
    }));
}
