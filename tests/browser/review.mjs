// The review in a browser: the own answer first, keys, what is typed is kept, news of others, several at once.

import assert from "node:assert/strict";
import { before, test } from "node:test";
import { looking } from "./browser.mjs";
import { keep } from "./kept.mjs";
import { complaints, focus, sideways } from "./reach.mjs";
import { signIn } from "./stage.mjs";

export function review(stage) {
  /** Two reviewers beside the admin of the stage. */
  const one = {};
  const two = {};
  before(async () => {
    for (const who of [one, two]) {
      Object.assign(who, stage, { session: await signIn(stage.browser, stage.desk, "reviewer") });
    }
  });

  /** Addresses of the answers on the first page of the queue, most urgent first. */
  const queue = async (page) => {
    await page.goto("/review");
    return page.locator("[data-rows] > li a").evaluateAll((links) => links.map((a) => a.getAttribute("href")));
  };
  /** One of the queue that a scout has answered, so that there is something to hide. */
  const answered = async (page) => {
    const diagnoses = await stage.desk.records("--kind", "diagnosis");
    const open = await queue(page);
    const found = open.find((href) => diagnoses.some((d) => href.endsWith(d.id)));
    assert.ok(found, "a scout has answered one of them");
    return { href: found, diagnosis: diagnoses.find((d) => found.endsWith(d.id)) };
  };
  const fillOwn = async (page, words) => {
    await page.locator("#cause1").selectOption({ index: 1 });
    await page.locator("#sure1").fill("72");
    await page.locator("#grounds").fill(words);
  };

  test("the queue counts what it shows, each with a reason", () =>
    looking(one, {}, async (page) => {
      const rows = await queue(page);
      assert.ok(rows.length > 1);
      assert.equal(new Set(rows).size, rows.length);
      const said = await page.locator("main .head .soft").innerText();
      assert.equal(Number.parseInt(said, 10), rows.length);
      for (const why of await page.locator("[data-rows] .reason:first-of-type").allInnerTexts()) assert.ok(why.length > 5);
    }));

  test("the keyboard alone reviews an answer, and undoes it", () =>
    looking(one, {}, async (page) => {
      const { href, diagnosis } = await answered(page);
      await page.goto("/review");
      for (let n = 0; n < 40 && (await page.evaluate(() => document.activeElement.getAttribute("href"))) !== href; n += 1) {
        await page.keyboard.press("j");
      }
      await page.keyboard.press("Enter");
      await page.waitForURL(`**${href}`);
      const told = diagnosis.fields.reasons?.slice(0, 40);
      if (told) assert.ok(!(await page.content()).includes(told), "the scout's reasons were sent before the own answer");
      await page.keyboard.press("o");
      assert.equal(await page.evaluate(() => document.activeElement.id), "cause1");
      await page.keyboard.press("ArrowDown");
      await page.keyboard.press("Tab");
      await page.keyboard.type("72");
      assert.equal(await page.locator("output").first().innerText(), "likely");
      await page.locator("#grounds").focus();
      await page.keyboard.type("jackdaw? no: small and even");
      assert.equal(await page.locator("#grounds").inputValue(), "jackdaw? no: small and even", "keys do nothing while one types");
      await page.keyboard.press("Tab");
      await page.keyboard.press("Enter");
      await page.waitForURL("**#answers");
      assert.equal(await page.evaluate(() => document.activeElement.id), "answers", "the focus is at what is new");
      await page.keyboard.press("a");
      assert.ok(await page.locator('input[value="agree"]').isChecked());
      await page.keyboard.press("w");
      await page.keyboard.type("Good eye.");
      while ((await focus(page)).words !== "Keep as decided") await page.keyboard.press("Tab");
      await page.keyboard.press("Enter");
      await page.waitForURL("**#done");
      assert.equal(await page.evaluate(() => document.activeElement.id), "done");
      assert.match(await page.locator("#done").innerText(), /the scout's answer stands/);
      await page.keyboard.press("u");
      await page.keyboard.press("Enter");
      await page.waitForURL("**/review?undone=*");
      assert.match(await page.locator("#done").innerText(), /taken back/);
      assert.ok((await queue(page)).includes(href), "it awaits a reviewer again");
    }));

  test("single keys can be switched off, and the help says all of them", () =>
    looking(one, {}, async (page) => {
      await page.goto("/review");
      const help = page.getByRole("dialog");
      await page.keyboard.press("?");
      assert.ok(await help.isVisible());
      await page.keyboard.press("Escape");
      await page.getByRole("button", { name: "Keys: press ?" }).press("Enter");
      assert.ok(await help.isVisible());
      assert.ok((await help.locator("dt").count()) >= 5);
      assert.deepEqual(await complaints(page), []);
      await help.getByRole("checkbox").uncheck();
      await page.keyboard.press("Escape");
      assert.ok(!(await help.isVisible()), "Escape leaves it");
      await page.keyboard.press("j");
      assert.equal(await page.evaluate(() => document.activeElement.tagName), "BUTTON", "the focus went back to the button");
      await page.keyboard.press("?");
      assert.ok(!(await help.isVisible()), "off is off");
    }));

  test("what is typed is kept at the office, and nothing of it is in the browser", () =>
    looking(two, {}, async (page) => {
      const { href } = await answered(page);
      await page.goto(href);
      await fillOwn(page, "half a thought");
      await page.getByText("Kept as you type.").waitFor();
      await page.goto("/review");
      await page.goto(href);
      assert.equal(await page.locator("#grounds").inputValue(), "half a thought");
      const held = () => page.evaluate(() => JSON.stringify([{ ...localStorage }, { ...sessionStorage }, document.cookie]));
      assert.ok(!(await held()).includes("thought"));
    }));

  test("one reviewer hears of the other at once, and loses no word", () =>
    looking(two, {}, async (page) => {
      const { href } = await answered(page);
      await page.goto(href);
      await page.locator("#grounds").fill("my own careful words");
      await looking(one, {}, async (other) => {
        // One has kept an answer of this already.
        await other.goto(href);
        await other.locator('input[value="agree"]').check();
        await other.getByRole("button", { name: "Keep as decided" }).click();
        await other.waitForURL("**#done");
        await page.getByText(/Browser \d+ has just reviewed this/).waitFor();
        await other.getByRole("button", { name: "Undo" }).click();
        await other.waitForURL("**/review?undone=*");
      });
      assert.equal(await page.locator("#grounds").inputValue(), "my own careful words");
      await page.locator("#cause1").selectOption({ index: 2 });
      await page.locator("#sure1").fill("30");
    }));

  test("a form that has not seen what another did comes back with what was typed", () =>
    looking(two, { refused: 409 }, async (page) => {
      const { href } = await answered(page);
      await page.goto(href);
      await fillOwn(page, "late but careful");
      await page.locator('main form [name="seen"]').evaluate((field) => (field.value = "0000000000000000"));
      await page.getByRole("button", { name: "Keep my answer" }).click();
      await page.getByRole("heading", { name: "Somebody was here meanwhile" }).waitFor();
      assert.equal(await page.evaluate(() => document.activeElement.id), "meanwhile");
      assert.equal(await page.locator("#grounds").inputValue(), "late but careful");
    }));

  test("several are chosen, looked at, changed and taken back", () =>
    looking(two, {}, async (page) => {
      const rows = await queue(page);
      const boxes = page.locator("[data-rows] input[type=checkbox]");
      await boxes.nth(0).check();
      await boxes.nth(1).check();
      await page.getByRole("button", { name: "Change those chosen" }).click();
      await page.getByLabel("Ask each scout the same question").check();
      await page.getByLabel("What to ask of each scout").fill("A photo of the underside?");
      await page.getByRole("button", { name: "Look at what would change" }).click();
      await page.getByRole("heading", { name: "2 changes, if you do it" }).waitFor();
      assert.deepEqual(await complaints(page), []);
      for (const scheme of ["light", "dark"]) {
        await page.emulateMedia({ colorScheme: scheme });
        for (const width of [390, 768, 1280]) await keep(page, "several at once", scheme, width);
      }
      await page.getByRole("button", { name: "Make 2 changes" }).click();
      await page.waitForURL("**#done");
      assert.equal((await queue(page)).length, rows.length - 2);
      await page.getByRole("button", { name: "Undo" }).click();
      await page.waitForURL("**/review?undone=*");
      assert.deepEqual(await queue(page), rows);
    }));

  for (const scheme of ["light", "dark"]) {
    for (const width of [320, 390, 768, 1280]) {
      test(`axe-core finds nothing and nothing scrolls sideways, ${scheme}, ${width} px`, () =>
        looking(two, { scheme, width }, async (page) => {
          const { href } = await answered(page);
          const clashed = `/review/${stage.disputed[0]}`;
          const pages = [["the review", "/review"], ["a review for one reason", "/review?why=stop"], ["one review", href],
            ["a review in which phones disagree", clashed]];
          for (const [name, address] of pages) {
            await page.goto(address);
            assert.deepEqual(await complaints(page), [], address);
            assert.deepEqual(await sideways(page), { pushed: 0, out: [] }, address);
            if (width !== 320) await keep(page, name, scheme, width);
          }
          await looking({ ...one }, { scheme, width }, async (opened) => {
            await opened.goto(href);
            assert.ok(await opened.locator("#answers").isVisible());
            assert.deepEqual(await complaints(opened), [], "both answers");
            assert.deepEqual(await sideways(opened), { pushed: 0, out: [] }, "both answers");
            if (width !== 320) await keep(opened, "both answers", scheme, width);
          });
        }));
    }
  }
}
