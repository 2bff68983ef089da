// One inquiry: stops first, findings in four columns, photos, reasons, what is private, what is disputed.

import assert from "node:assert/strict";
import { test } from "node:test";
import { follow, looking } from "./browser.mjs";

export function oneInquiry(stage) {
  const at = (i) => `/inquiries/${i.id}`;

  /** What every inquiry's page says, read once: the inquiry, its whole page, its sentences of what is disputed. */
  let pages;
  const readAll = async (page) => {
    if (pages) return pages;
    const read = [];
    for (const inquiry of stage.inquiries) {
      await page.goto(at(inquiry), { waitUntil: "domcontentloaded" });
      const clashes = await page.locator(".clash .said").allInnerTexts();
      read.push({ inquiry, all: await page.content(), clashes });
    }
    pages = read;
    return pages;
  };

  test("stops stand above everything else that an inquiry says", () =>
    looking(stage, {}, async (page) => {
      const stopped = stage.inquiries.filter((i) => (i.fields.stops ?? []).length > 0);
      assert.ok(stopped.length > 1);
      for (const inquiry of stopped) {
        await page.goto(at(inquiry));
        const stops = page.locator("main section.halt");
        assert.ok((await stops.count()) > 0, at(inquiry));
        const bottom = Math.max(...(await Promise.all((await stops.all()).map(lower))));
        const others = await page.locator("main blockquote, main table, main h2:not(.halt h2), main img").all();
        assert.ok(others.length > 0);
        for (const other of others) assert.ok((await other.boundingBox()).y >= bottom, at(inquiry));
      }
    }));

  test("each stop is named once and says what to do", () =>
    looking(stage, {}, async (page) => {
      for (const [inquiry, expected] of [
        [stage.limb, { "Stop: a wire is near": /electric utility/, "Stop: a tree or limb may fall": /arborist/ }],
        [stage.beans, { "Stop: describe, blame nobody": /pesticide/, "Stop: spray may be on food": /Do not eat/ }],
        [stage.child, {
          "Stop: something wild, eaten or meant to be": /poison control/,
          "Stop: a plant may be poisonous": /poison control/,
          "Stop: no medical, veterinary or legal advice": /medical/,
        }],
      ]) {
        await page.goto(at(inquiry));
        assert.deepEqual(await page.locator("section.halt h2").allInnerTexts(), Object.keys(expected));
        for (const [head, words] of Object.entries(expected)) {
          assert.match(await page.locator("section.halt", { hasText: head }).locator("p").first().innerText(), words);
        }
      }
    }));

  test("findings stand in four columns, and what nobody looked at is not among the absent", () =>
    looking(stage, {}, async (page) => {
      await page.goto(at(stage.limb));
      const heads = page.locator("table.four thead th");
      const words = (await heads.allInnerTexts()).map((w) => w.split("\n")[0].trim());
      assert.deepEqual(words, ["Part", "Seen", "Looked, not there", "Could not tell", "Not looked"]);
      const lefts = (await Promise.all((await heads.all()).map((h) => h.boundingBox()))).map((b) => b.x);
      assert.deepEqual(lefts, [...new Set(lefts)].sort((a, b) => a - b), "side by side, left to right");

      const plants = new Set(stage.plants.filter((p) => p.fields.inquiry === stage.limb.id).map((p) => p.id));
      const findings = stage.findings.filter((f) => plants.has(f.fields.plant));
      for (const [column, status] of ["seen", "absent", "could_not_tell", "not_looked"].entries()) {
        const cells = page.locator(`table.four tbody td:nth-of-type(${column + 1}) li`);
        assert.equal(await cells.count(), findings.filter((f) => f.fields.status === status).length, status);
      }
      assert.ok(findings.some((f) => f.fields.status === "not_looked"));
    }));

  test("every photo of an inquiry loads, small and large", () =>
    looking(stage, {}, async (page) => {
      await page.goto(at(stage.beans));
      const shots = await page.locator("main .shots img").all();
      assert.equal(shots.length, stage.photos.filter((p) => p.fields.inquiry === stage.beans.id).length);
      assert.ok(shots.length > 2);
      for (const shot of shots) {
        await shot.scrollIntoViewIfNeeded();
        const width = await shot.evaluate(async (img) => (await img.decode(), img.naturalWidth));
        assert.ok(width >= 100, `${width} px wide`);
        assert.match(await shot.getAttribute("alt"), /^Photo \d+: .+/);
      }
      await page.locator("main .shots a").first().click();
      await page.waitForURL("**/large");
      assert.ok((await page.locator("img").evaluate((img) => img.naturalWidth)) > 500);
    }));

  test("reasons for and against say that no specialist has checked the content", () =>
    looking(stage, {}, async (page) => {
      await page.goto(at(stage.beans));
      const reasons = page.locator("section", { has: page.locator("table.reasons") });
      assert.ok((await reasons.count()) > 0);
      for (const section of await reasons.all()) {
        const notice = section.getByText(/unreviewed/i);
        assert.ok(await notice.isVisible());
        const above = await notice.boundingBox();
        assert.ok(above.y < (await section.locator("table").boundingBox()).y, "before the causes, not after");
        assert.match(await section.locator("tbody tr").first().innerText(), /\d+ in 100/);
      }
      assert.ok(await page.locator("footer").getByText(/unreviewed/i).isVisible());
    }));

  test("address, point and contact show only when asked for, each by itself", () =>
    looking(stage, {}, async (page) => {
      const { beans, siteOf, contactOf } = stage;
      const { address, point } = siteOf(beans).fields;
      const { name, phone, email } = contactOf(beans).fields.reach;
      const shows = async () => {
        const all = await page.content();
        return [address, point.latitude.toFixed(5), name, phone, email].map((words) => all.includes(words));
      };
      await page.goto(at(beans));
      assert.deepEqual(await shows(), [false, false, false, false, false]);
      await follow(page, page.getByRole("link", { name: "Show address" }));
      assert.deepEqual(await shows(), [true, true, false, false, false]);
      await follow(page, page.getByRole("link", { name: "Hide address" }));
      await follow(page, page.getByRole("link", { name: "Show contact" }));
      assert.deepEqual(await shows(), [false, false, true, true, true]);
    }));

  test("no inquiry shows its address or its contact unasked", () =>
    looking(stage, {}, async (page) => {
      let private_ = 0;
      for (const { inquiry, all } of await readAll(page)) {
        const reach = stage.contactOf(inquiry)?.fields.reach ?? {};
        const kept = [stage.siteOf(inquiry)?.fields.address, reach.name, reach.phone, reach.email].filter(Boolean);
        for (const words of kept) assert.ok(!all.includes(words), at(inquiry));
        private_ += kept.length;
      }
      assert.ok(private_ > stage.inquiries.length, "there was something to keep");
    }));

  test("two phones that disagree are told in a sentence, on that inquiry alone", () =>
    looking(stage, {}, async (page) => {
      const pages = await readAll(page);
      const said = pages.flatMap(({ inquiry, clashes }) => clashes.map((words) => [inquiry.id, words]));
      assert.deepEqual(said.map(([id]) => id), stage.disputed);
      assert.ok(said.length > 0);
      for (const [, words] of said) {
        assert.match(
          words,
          /^Scout \d wrote .+ at \d+:\d\d [ap]m, .+; Scout \d wrote .+ at .+, without having seen the first\. Both are kept\.$/,
        );
      }
    }));

  test("words that were erased are in no page and in no search", () =>
    looking(stage, {}, async (page) => {
      const lilac = stage.inquiries.find((i) => i.fields.summary === "Lilac with a white coating on the leaves.");
      await page.goto(`${at(lilac)}?place=full&contact=full`);
      assert.match(await page.locator("main").innerText(), /The resident's own words were erased\./);
      assert.ok(!/Quandlebrook|periwinkle/i.test(await page.content()));
      for (const word of ["Quandlebrook", "periwinkle"]) {
        await page.goto(`/inquiries?q=${word}`);
        assert.equal(await page.locator("main .led").count(), 0);
      }
    }));
}

async function lower(box) {
  const { y, height } = await box.boundingBox();
  return y + height;
}
