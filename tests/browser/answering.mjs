// Answering a caller: a whole day at the desk with the keyboard alone, and what must not be lost or hidden on the way.

import assert from "node:assert/strict";
import { test } from "node:test";
import { PNG } from "pngjs";
import { arrive, follow, looking } from "./browser.mjs";
import { complaints, fits } from "./reach.mjs";

const PASSWORD = "beans and squash";
/** Tabs after which what is looked for is not on the page. */
const FAR = 160;

/** Presses Tab until what has the focus is called so. */
async function tabTo(page, called) {
  for (let n = 0; n < FAR; n += 1) {
    await page.keyboard.press("Tab");
    if (called.test(await focused(page))) return;
  }
  assert.fail(`the keyboard does not reach ${called} on ${page.url()}`);
}

/** What a reader of the page calls what has the focus. */
const focused = (page) =>
  page.evaluate(() => {
    const e = document.activeElement;
    return (e.labels?.[0]?.textContent ?? e.textContent ?? "").trim();
  });

/** Enter, and the page that it leads to. */
const enter = (page) => arrive(page, () => page.keyboard.press("Enter"));

const saved = (page) => page.locator("#saved", { hasText: /^Saved at \d/ }).waitFor();

/** Takes a call with these words, and gives the number of its inquiry. */
async function call(page, words) {
  await page.goto("/desk");
  await page.locator("#words").fill(words);
  await page.waitForURL(/\/desk\/[0-9a-f-]{36}$/);
  await saved(page);
  return page.url().split("/").at(-1);
}

export function answering(stage) {
  test("a whole day at the desk with the keyboard alone", async () => {
    let name;
    await looking(stage, {}, async (page) => {
      await page.goto("/account");
      name = await page.locator(".top .me a").innerText();
    });
    await looking({ ...stage, session: undefined }, {}, async (page) => {
      // Sign in.
      await page.goto("/");
      await tabTo(page, /^Name/);
      await page.keyboard.type(name);
      await tabTo(page, /^Password/);
      await page.keyboard.type(PASSWORD);
      await enter(page);
      assert.match(await page.locator("main .head p").first().innerText(), /open inquiries of \d+/);
      // Take a call.
      await tabTo(page, /^Someone is asking/);
      await enter(page);
      const began = Date.now();
      await page.keyboard.type("The maple by the street is thin at the top.");
      await page.waitForURL(/\/desk\/[0-9a-f-]{36}$/);
      await saved(page);
      const number = page.url().split("/").at(-1);
      await page.reload();
      assert.equal(await page.locator("#words").inputValue(), "The maple by the street is thin at the top.");
      await tabTo(page, /^Plant$/);
      await page.keyboard.type("Maple");
      await tabTo(page, /^Township/);
      await page.keyboard.type("Tern Hollow");
      await saved(page);
      assert.ok(Date.now() - began < 20_000, "a call is open in less than 20 seconds");
      await Promise.all([page.waitForURL("**/walk"), page.keyboard.press("Control+Enter")]);
      // Walk the key.
      const looked = [];
      for (let n = 0; n < 3; n += 1) {
        looked.push(await page.locator("#h-look").innerText());
        assert.match(await focused(page), /^Not looked/, "the answers have the focus");
        await page.keyboard.press("1");
        await enter(page);
        if (await page.getByRole("button", { name: "I have read this out" }).isVisible()) await enter(page);
      }
      assert.equal(new Set(looked).size, 3, "each look is asked once");
      assert.match(await page.locator("main").innerText(), /findings so far: 3/);
      await tabTo(page, /^Take back/);
      await enter(page);
      assert.match(await page.locator("main").innerText(), /findings so far: 2/);
      assert.equal(await page.locator("#h-look").innerText(), looked[2], "what was taken back is asked again");
      // The letter.
      await tabTo(page, /^On to the letter/);
      await enter(page);
      await tabTo(page, /^First paragraph/);
      await page.keyboard.press("Control+A");
      await page.keyboard.type("Thank you for asking about your maple.");
      await page.locator("#saved", { hasText: /^Kept at \d/ }).waitFor();
      await page.reload();
      assert.match(await page.locator("article.letter").innerText(), /Thank you for asking about your maple\./);
      await tabTo(page, /^Keep as sent/);
      await enter(page);
      assert.match(await page.locator("main").innerText(), /Kept as sent\. The inquiry counts as answered\./);
      // The follow-up.
      await page.goto("/follow-ups?whose=own");
      const row = page.locator("li", { has: page.locator(`a[href="/inquiries/${number}"]`) });
      assert.equal(await row.count(), 1);
      await tabTo(page, /^Answer, put off, hand over: Maple, Tern Hollow/);
      await page.keyboard.press("Enter");
      await tabTo(page, /^What they said/);
      await page.keyboard.type("It leafed out again.");
      await tabTo(page, /^Done/);
      await enter(page);
      assert.match(await row.innerText(), /It leafed out again\./);
      await tabTo(page, /^Take it back/);
      await enter(page);
      assert.match(await page.locator("section", { hasText: "Later" }).last().innerText(), /./);
    });
  });

  test("dangerous words show their stop while they are typed, above everything else", () =>
    looking(stage, {}, async (page) => {
      await call(page, "A limb is resting on the power line to our house.");
      const stop = page.locator("#stops .halt", { hasText: "Stay at least 10 ft away" });
      await stop.waitFor();
      assert.ok((await stop.boundingBox()).y < (await page.locator("#words").boundingBox()).y);
      await page.locator("#words").fill("All is well, thank you.");
      await page.locator("#words").blur();
      await saved(page);
    }));

  test("what cannot be saved is said to be unsaved, kept in the page, and saved once it can be", () =>
    looking(stage, { refused: 500 }, async (page) => {
      await call(page, "First words.");
      await page.route("**/typed", (route) => route.fulfill({ status: 500, body: "no" }));
      await page.locator("#words").fill("First words. More words.");
      await page.locator("#not-saved", { hasText: "Not saved." }).waitFor();
      assert.doesNotMatch(await page.locator("#saved").innerText(), /^Saved/);
      await page.unroute("**/typed");
      await saved(page);
      assert.equal(await page.locator("#not-saved").innerText(), "");
      await page.reload();
      assert.equal(await page.locator("#words").inputValue(), "First words. More words.");
    }));

  test("photos that are chosen come into the book one by one; a file that is none is refused by name", () =>
    looking(stage, { refused: 409 }, async (page) => {
      await call(page, "See the photos.");
      const picture = PNG.sync.write(Object.assign(new PNG({ width: 40, height: 30 }), { data: Buffer.alloc(4800, 120) }));
      const file = (name, buffer) => ({ name, mimeType: "image/png", buffer });
      await page.locator("#photo").setInputFiles([file("a.png", picture), file("b.png", picture)]);
      await page.locator("#shots figure").nth(1).waitFor();
      await page.locator("#photo").setInputFiles([file("letter.png", Buffer.from("no picture"))]);
      await page.locator("#drop .problem", { hasText: "letter.png" }).waitFor();
      assert.equal(await page.locator("#shots figure").count(), 2);
    }));

  test("without script a call is a form like any other", async () => {
    const context = await stage.browser.newContext({
      baseURL: stage.base, storageState: stage.session, javaScriptEnabled: false, reducedMotion: "reduce",
    });
    try {
      const page = await context.newPage();
      await page.goto("/desk");
      await page.getByLabel("In their own words").fill("Written without script.");
      await follow(page, page.getByRole("button", { name: "Save", exact: true }));
      assert.match(page.url(), /\/desk\/[0-9a-f-]{36}$/);
      assert.match(await page.locator("#saved").innerText(), /^Saved at \d/);
      await page.getByLabel("Plant", { exact: true }).selectOption("maple");
      await follow(page, page.getByRole("button", { name: "On to the plant" }));
      await page.getByLabel("Could not tell").check();
      await follow(page, page.getByRole("button", { name: "Save and go on" }));
      assert.match(await page.locator("main").innerText(), /Could not tell|could not tell/);
    } finally {
      await context.close();
    }
  });

  test("axe-core finds nothing and nothing scrolls sideways, in both languages, light and dark", async () => {
    let number;
    await looking(stage, {}, async (page) => {
      number = await call(page, "A limb is resting on the power line to our house. The maple is thin.");
      await page.getByLabel("Plant", { exact: true }).selectOption("maple");
      await Promise.all([page.waitForURL("**/walk"), page.getByRole("button", { name: "On to the plant" }).click()]);
    });
    const pages = [["the morning", "/"], ["the desk", "/desk"], ["a call", `/desk/${number}`],
      ["a walk that stops", `/inquiries/${number}/walk`], ["a new stop", `/inquiries/${number}/walk?stop=new`],
      ["a letter of stops", `/inquiries/${number}/letter`], ["a walk", `/inquiries/${stage.beans.id}/walk`],
      ["a letter", `/inquiries/${stage.beans.id}/letter`], ["what is asked later", "/follow-ups"]];
    for (const scheme of ["light", "dark"]) {
      for (const [name, address] of pages) {
        await looking(stage, { width: 320, scheme }, async (page) => {
          await page.goto(address);
          assert.deepEqual(await complaints(page), [], `${address} 320 ${scheme}`);
          await fits(page, name, scheme);
        });
      }
    }
    await looking(stage, {}, async (page) => {
      await page.context().addCookies([{ name: "dooryard-language", value: "es", url: stage.base }]);
      for (const [, address] of pages) {
        await page.goto(address);
        assert.equal(await page.locator("html").getAttribute("lang"), "es");
        assert.deepEqual(await complaints(page), [], `${address} es`);
      }
    });
  });
}
