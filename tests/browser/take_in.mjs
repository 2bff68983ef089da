// Bundles dropped into the page, and a phone that becomes the office's: invited, admitted, heard and answered.

import assert from "node:assert/strict";
import { mkdtemp, readFile, rm, writeFile } from "node:fs/promises";
import { tmpdir } from "node:os";
import path from "node:path";
import { test } from "node:test";
import { looking } from "./browser.mjs";
import { complaints, sideways } from "./reach.mjs";

export function takeIn(stage) {
  test("a phone is invited, admitted, hands over and gets its reply", () =>
    inFolder(async (folder) => {
      const at = (name) => path.join(folder, name);
      const phone = at("phone");
      await stage.dooryard("notebook", "new", phone);
      await looking(stage, {}, async (page) => {
        await page.goto("/phones");
        await page.getByLabel(/^What people call it/).fill("Scout 9");
        await page.getByRole("button", { name: "Make the invitation" }).press("Enter");
        await writeFile(at("invitation.txt"), await page.getByLabel("The same as text").inputValue());
        assert.deepEqual(await complaints(page), [], "the invitation");
        const { ask } = await stage.dooryard("notebook", "join", phone, at("invitation.txt"));
        await page.goto("/phones");
        await page.getByLabel("The phone's code as text").fill(ask);
        await page.getByRole("button", { name: "Read it" }).press("Enter");
        await page.getByRole("heading", { name: "Phones that ask to come in" }).waitFor();
        assert.deepEqual(await complaints(page), [], "a phone that asks");
        await page.getByRole("button", { name: "Admit Scout 9" }).press("Enter");
        assert.ok(!page.url().includes("admit"), "the words come first");
        await page.getByLabel("The six words are the same").press("Space");
        await page.getByRole("button", { name: "Admit Scout 9" }).press("Enter");
        await page.getByRole("heading", { name: "Scout 9 is admitted" }).waitFor();
        await writeFile(at("answer.txt"), await page.getByLabel("The same as text").inputValue());
      });
      await stage.dooryard("notebook", "join", phone, at("answer.txt"), "--answer");
      const visit = { kind: "inquiry", fields: { taken_by: "Scout 9", summary: "Leaves with holes" } };
      await writeFile(at("visit.json"), JSON.stringify(visit));
      await stage.dooryard("notebook", "save", phone, at("visit.json"));
      await stage.dooryard("bundle", "make", phone, "--out", at("s9.yard"));
      await looking(stage, {}, async (page) => {
        await bring(page, [at("s9.yard")]);
        await page.getByRole("link", { name: "What they brought" }).press("Enter");
        await page.getByRole("heading", { name: "Bundle from Scout 9" }).waitFor();
        assert.match(await page.locator("main").innerText(), /New inquiry/);
        const download = page.waitForEvent("download");
        await page.getByRole("button", { name: "Make the reply for Scout 9" }).press("Enter");
        await (await download).saveAs(at("reply.yard"));
      });
      const { received } = await stage.dooryard("bundle", "take-reply", phone, at("reply.yard"));
      assert.ok(received >= 1, "the phone knows that the office has it");
    }));

  test("files that are dropped are taken in one by one, with a row for each", () =>
    inFolder(async (folder) => {
      const letter = path.join(folder, "letter <b>one.yard");
      await writeFile(letter, "no bundle");
      await looking(stage, {}, async (page) => {
        await page.goto("/take-in");
        const bytes = [...(await readFile(letter))];
        const dropped = await page.evaluateHandle(({ bytes, names }) => {
          const transfer = new DataTransfer();
          for (const name of names) transfer.items.add(new File([new Uint8Array(bytes)], name));
          return transfer;
        }, { bytes, names: [path.basename(letter), "letter two.yard"] });
        await page.locator(".drop-sheet").dispatchEvent("drop", { dataTransfer: dropped });
        await page.getByText("Done: 0 of 2 taken in.").waitFor();
        const rows = page.locator(".drop-list li");
        assert.equal(await rows.count(), 2);
        assert.match(await rows.first().innerText(), /letter <b>one\.yard.*It is not a bundle/s);
        assert.deepEqual(await complaints(page), []);
        await page.keyboard.press("Enter");
        await page.getByRole("heading", { name: "2 files, 0 taken in" }).waitFor();
      });
    }));

  test("without a script the form does the same in one go", () =>
    inFolder(async (folder) => {
      const files = ["one.yard", "two.yard"].map((name) => path.join(folder, name));
      for (const file of files) await writeFile(file, "no bundle");
      const context = await stage.browser.newContext({
        baseURL: stage.base, storageState: stage.session, javaScriptEnabled: false, locale: "en-US",
      });
      const page = await context.newPage();
      await page.goto("/take-in");
      await page.getByLabel(/^Bundles that scouts handed over/).setInputFiles(files);
      await page.getByRole("button", { name: "Take them in" }).press("Enter");
      await page.getByRole("heading", { name: "2 files, 0 taken in" }).waitFor();
      await context.close();
    }));

  test("the code of an invitation fits narrow windows", async () => {
    for (const width of [320, 390]) {
      await looking(stage, { width, scheme: "dark" }, async (page) => {
        await page.goto("/phones");
        await page.getByLabel(/^What people call it/).fill(`Scout ${width}`);
        await page.getByRole("button", { name: "Make the invitation" }).click();
        await page.getByLabel("The same as text").waitFor();
        assert.deepEqual(await sideways(page), { pushed: 0, out: [] });
        assert.deepEqual(await complaints(page), []);
      });
    }
  });
}

async function inFolder(visit) {
  const folder = await mkdtemp(path.join(tmpdir(), "take-in-"));
  try {
    await visit(folder);
  } finally {
    await rm(folder, { recursive: true });
  }
}

/** Chooses files and sends them with the keyboard. */
async function bring(page, files) {
  await page.goto("/take-in");
  await page.getByLabel(/^Bundles that scouts handed over/).setInputFiles(files);
  await page.keyboard.press("Tab");
  await page.getByRole("button", { name: "Take them in" }).press("Enter");
  await page.getByText(`Done: ${files.length} of ${files.length} taken in.`).waitFor();
}
