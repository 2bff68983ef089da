// One inquiry at work: photos side by side, who has it, every field of the history, on paper and in Spanish.

import assert from "node:assert/strict";
import { test } from "node:test";
import { looking } from "./browser.mjs";

export function inquiry(stage) {
  const at = (i) => `/inquiries/${i.id}`;
  const pair = () => stage.photos.filter((p) => p.fields.inquiry === stage.beans.id).slice(0, 2);
  const beside = () => `${at(stage.beans)}/photos?${pair().map((p) => `photo=${p.id}`).join("&")}`;

  /** How much larger than whole each picture is drawn, read from what the browser shows. */
  const scales = (page) =>
    page.locator(".glass img").evaluateAll((all) => all.map((img) => new DOMMatrix(getComputedStyle(img).transform).a));
  /** Where the middle of each glass lies on its picture, along and across. */
  const shifts = (page) =>
    page.locator(".glass img").evaluateAll((all) =>
      all.map((img) => new DOMMatrix(getComputedStyle(img).transform)).map((m) => [Math.sign(m.e), Math.sign(m.f)]));

  test("two chosen photos stand side by side, and the keys bring both closer", () =>
    looking(stage, {}, async (page) => {
      await page.goto(at(stage.beans));
      const ticks = page.getByRole("checkbox", { name: /side by side/ });
      for (const n of [0, 1]) {
        await ticks.nth(n).focus();
        await page.keyboard.press("Space");
      }
      await page.getByRole("button", { name: "Show the chosen side by side" }).focus();
      await page.keyboard.press("Enter");
      await page.waitForURL("**/photos?photo=*&photo=*");
      const glass = page.locator(".glass");
      assert.equal(await glass.count(), 2);
      const boxes = await Promise.all((await glass.all()).map((g) => g.boundingBox()));
      assert.ok(boxes[1].x >= boxes[0].x + boxes[0].width && Math.abs(boxes[1].y - boxes[0].y) < 2, "next to each other");
      assert.deepEqual(await scales(page), [1, 1]);

      await glass.first().focus();
      await page.keyboard.press("+");
      await page.keyboard.press("+");
      assert.deepEqual(await scales(page), [2, 2]);
      assert.deepEqual(await page.locator("output").allInnerTexts(), ["Zoom: × 2", "Zoom: × 2"]);
      await page.keyboard.press("ArrowRight");
      await page.keyboard.press("ArrowDown");
      assert.deepEqual(await shifts(page), [[-1, -1], [-1, -1]], "what lies right and below comes into view");
      for (let n = 0; n < 20; n += 1) await page.keyboard.press("ArrowRight");
      const { picture, frame } = await glass.first().evaluate((g) => ({
        picture: g.querySelector("img").getBoundingClientRect().right, frame: g.getBoundingClientRect().right,
      }));
      assert.ok(picture >= frame - 2, "it never leaves the picture");

      await page.getByLabel("Move all together").uncheck();
      await glass.nth(1).focus();
      await page.keyboard.press("0");
      assert.deepEqual(await scales(page), [2, 1]);
      await page.locator("figure.pane").nth(1).getByRole("button", { name: /^Closer/ }).click();
      assert.deepEqual(await scales(page), [2, 1.5]);
      const sources = await page.locator(".glass img").evaluateAll(async (all) => {
        for (let n = 0; n < 300 && all.some((img) => !img.src.endsWith("/full")); n += 1) {
          await new Promise((done) => setTimeout(done, 100));
        }
        return all.map((img) => img.src.endsWith("/full"));
      });
      assert.deepEqual(sources, [true, true], "close up, the larger picture is shown");
    }));

  test("dragging moves a picture that is close, and a wheel over one that is not chosen goes on scrolling", () =>
    looking(stage, {}, async (page) => {
      await page.goto(beside());
      const glass = page.locator(".glass").first();
      const box = await glass.boundingBox();
      const middle = [box.x + box.width / 2, box.y + box.height / 2];
      await page.mouse.move(...middle);
      await page.mouse.wheel(0, -120);
      assert.deepEqual(await scales(page), [1, 1]);
      await glass.focus();
      await page.mouse.move(...middle);
      await page.mouse.wheel(0, -120);
      await page.waitForFunction(() => document.querySelector("output").textContent.endsWith("1.5"));
      await page.mouse.down();
      await page.mouse.move(middle[0] - 60, middle[1]);
      await page.mouse.up();
      assert.deepEqual((await shifts(page))[0], [-1, 0]);
    }));

  test("without script the pictures stand there, larger than in the list", async () => {
    const context = await stage.browser.newContext({
      viewport: { width: 1280, height: 900 }, baseURL: stage.base, storageState: stage.session, javaScriptEnabled: false,
      locale: "en-US",
    });
    const page = await context.newPage();
    await page.goto(beside());
    const pictures = await page.locator(".glass img").all();
    assert.equal(pictures.length, 2);
    for (const picture of pictures) assert.ok((await picture.boundingBox()).width > 500);
    assert.equal(await page.locator(".pane button:visible").count(), 0, "no button that would do nothing");
    await context.close();
  });

  test("who has it is kept by the keyboard alone, and a change made meanwhile loses nothing", () =>
    looking(stage, { refused: 409 }, async (page) => {
      const other = await page.context().newPage();
      await Promise.all([page.goto(at(stage.limb)), other.goto(at(stage.limb))]);
      const fill = async (where, who, why) => {
        await where.locator("#held-by").focus();
        await where.keyboard.press("Control+A");
        await where.keyboard.type(who);
        await where.locator("#held-waiting").focus();
        await where.keyboard.press("Control+A");
        await where.keyboard.type(why);
        await where.keyboard.press("Tab");
        await where.keyboard.press("Enter");
      };
      await fill(page, "Scout 2", "the electric utility");
      await page.waitForURL("**#held");
      assert.match(await page.locator("#held dl").innerText(), /Scout 2[\s\S]*the electric utility/);

      await fill(other, "Scout 4", "a second look");
      await other.locator(".problem[role=alert]").waitFor();
      assert.match(await other.locator("#held dl").innerText(), /Scout 2[\s\S]*the electric utility/);
      assert.equal(await other.locator("#held-by").inputValue(), "Scout 4");
      assert.equal(await other.locator("#held-waiting").inputValue(), "a second look");
      await other.getByRole("button", { name: "Keep what I typed" }).click();
      await other.waitForURL("**#held");
      assert.match(await other.locator("#held dl").innerText(), /Scout 4[\s\S]*a second look/);
      const told = other.locator(".happened .led > li", { hasText: "who has it" });
      await told.last().locator("summary").click();
      assert.match(await told.last().innerText(), /was given to: .Scout 2.*is now given to: .Scout 4/);
    }));

  test("on paper there are the photos, the fields that were opened, and no form", () =>
    looking(stage, {}, async (page) => {
      await page.goto(at(stage.sampled));
      await page.emulateMedia({ media: "print" });
      const fields = page.locator(".happened details ul");
      assert.ok((await fields.count()) > 5);
      assert.equal(await page.locator(".happened details:visible").count(), 0);
      await page.emulateMedia({ media: "screen" });
      await page.getByRole("link", { name: "Open every field of every save" }).click();
      await page.waitForURL("**history=full*");
      await page.emulateMedia({ media: "print" });
      for (const list of await fields.all()) assert.ok(await list.isVisible(), "every field is on paper");
      assert.ok(await page.locator(".shots img").first().isVisible());
      assert.equal(await page.locator("main form:visible button").count(), 0);
      const cut = await page.evaluate(() => document.documentElement.scrollWidth - document.documentElement.clientWidth);
      assert.equal(cut, 0);
    }));

  test("headings lead through the page in order", () =>
    looking(stage, {}, async (page) => {
      for (const address of [at(stage.sampled), at(stage.limb), beside()]) {
        await page.goto(address);
        const levels = await page.locator("h1, h2, h3, h4").evaluateAll((all) => all.map((h) => Number(h.tagName[1])));
        assert.equal(levels.filter((n) => n === 1).length, 1);
        levels.forEach((level, n) => assert.ok(n === 0 || level <= levels[n - 1] + 1, `${address}: ${levels}`));
      }
    }));

  test("whoever reads Spanish reads the whole page in Spanish", () =>
    looking(stage, { locale: "es-US" }, async (page) => {
      for (const inquiry of [stage.sampled, stage.limb, stage.beans]) {
        await page.goto(at(inquiry));
        assert.equal(await page.locator("html").getAttribute("lang"), "es");
        // The resident's and the scouts' own words stay as they were written.
        const said = await page.locator("main").evaluate((main) => {
          const copy = main.cloneNode(true);
          copy.querySelectorAll(".said, .happened, .reason, .clash, h1").forEach((part) => part.remove());
          return copy.textContent;
        });
        const english = /\b(looked|not there|nobody|written down|seen in the field|in 100|who has it|hand-over|taken by)\b/i;
        assert.ok(!english.test(said), `${inquiry.id}: ${said.match(english)}`);
      }
    }));
}
