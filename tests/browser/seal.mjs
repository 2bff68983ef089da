// What is under seal: in no list, no search, no filter, and refused by its address.

import assert from "node:assert/strict";
import { test } from "node:test";
import { looking } from "./browser.mjs";
import { everyId } from "./list.mjs";

export function seal(stage) {
  test("no list, search or filter leads to a sealed inquiry", () =>
    looking(stage, {}, async (page) => {
      assert.ok(stage.sealed.length > 0);
      for (const { id, fields } of stage.sealed) {
        const { township } = stage.siteOf({ fields }).fields;
        const hosts = stage.plants.filter((p) => p.fields.inquiry === id).map((p) => p.fields.host);
        const words = [...fields.question.match(/\p{L}{5,}/gu), ...hosts, "boxwood blight", fields.taken_by];
        const asked = [
          ...words.map((q) => ({ q })), ...hosts.map((host) => ({ host })), { township }, { scout: fields.taken_by },
          { cause: "boxwood_blight" }, { stop: "yes" }, { status: fields.status ?? "open" }, { page: "2" },
        ];
        for (const filter of asked) {
          const listed = await everyId(page, `/inquiries?${new URLSearchParams(filter)}`);
          assert.ok(!listed.includes(id), JSON.stringify(filter));
        }
      }
    }));

  test("the list says that something is under seal, and nothing of what it is", () =>
    looking(stage, {}, async (page) => {
      for (const address of ["/inquiries", "/take-in", "/take-in/1", "/phones"]) {
        await page.goto(address);
        const all = await page.content();
        for (const { id } of stage.sealed) assert.ok(!all.includes(id), address);
        assert.ok(!/boxwood/i.test(all), address);
      }
      await page.goto("/inquiries");
      assert.match(await page.locator("section.halt").innerText(), /sealed records? exists?/);
    }));

  test("a sealed inquiry and its photos are refused by their address", () =>
    looking(stage, { refused: 403 }, async (page) => {
      for (const { id, fields } of stage.sealed) {
        for (const asked of ["", "?place=full&contact=full"]) {
          const answer = await page.goto(`/inquiries/${id}${asked}`);
          assert.equal(answer.status(), 403);
          assert.equal(await page.locator("h1").innerText(), "Under seal");
          const all = await page.content();
          for (const words of [fields.question, fields.summary, "oxwood"]) assert.ok(!all.includes(words));
        }
        const photos = stage.photos.filter((p) => p.fields.inquiry === id);
        assert.ok(photos.length > 0);
        for (const photo of photos) {
          for (const size of ["small", "large"]) {
            assert.equal((await page.goto(`/photos/${photo.id}/${size}`)).status(), 403);
          }
        }
      }
    }));
}
