// What can be done with a choice of inquiries: saved under a name, opened, renamed, deleted, downloaded, printed.

import assert from "node:assert/strict";
import { readFile } from "node:fs/promises";
import { test } from "node:test";
import { looking } from "./browser.mjs";

const CHOICE = "/inquiries?township=Tern+Hollow";

/** Tabs on until what has the focus is called `name`. */
async function tabTo(page, name) {
  for (let n = 0; n < 200; n += 1) {
    await page.keyboard.press("Tab");
    const words = await page.evaluate(() => {
      const e = document.activeElement;
      return (e.getAttribute("aria-label") ?? e.labels?.[0]?.textContent ?? e.textContent).trim();
    });
    if (words === name) return;
  }
  assert.fail(`the keyboard does not come to “${name}”`);
}

/** Downloads a choice in a form, and gives its name and its bytes. */
async function downloaded(page, form, readers) {
  await page.getByLabel("Form", { exact: true }).selectOption(form);
  await page.getByLabel(readers).check();
  const [download] = await Promise.all([
    page.waitForEvent("download"),
    page.getByRole("button", { name: "Download this" }).click(),
  ]);
  return { name: download.suggestedFilename(), bytes: await readFile(await download.path()) };
}

export function listViews(stage) {
  test("with the keyboard alone a choice is saved, opened, renamed, deleted and kept after all", () =>
    looking(stage, {}, async (page) => {
      await page.goto(CHOICE);
      await tabTo(page, "Name for this view");
      await page.keyboard.type("By the water");
      await page.keyboard.press("Enter");
      await page.locator('.views a[aria-current="page"]').waitFor();
      await page.goto("/inquiries");
      await tabTo(page, "By the water");
      await page.keyboard.press("Enter");
      await page.waitForURL(`**${CHOICE}`);
      assert.equal(await page.locator('.views a[aria-current="page"]').innerText(), "By the water");
      await tabTo(page, "Rename or delete");
      await page.keyboard.press("Enter");
      await page.waitForURL("**/views");
      assert.match(await page.locator("main").innerText(), /Township: Tern Hollow/);
      await tabTo(page, "Name");
      await page.keyboard.press("Control+A");
      await page.keyboard.type("Tern Hollow");
      await page.keyboard.press("Enter");
      await page.getByRole("link", { name: "Tern Hollow" }).waitFor();
      await tabTo(page, "Delete “Tern Hollow”");
      await page.keyboard.press("Enter");
      await page.getByRole("heading", { name: "“Tern Hollow” is deleted" }).waitFor();
      await tabTo(page, "Keep it after all");
      await page.keyboard.press("Enter");
      await page.waitForURL(`**${CHOICE}`);
      assert.equal(await page.locator('.views a[aria-current="page"]').innerText(), "Tern Hollow");
    }));

  test("a name that is taken is refused beside its field, with what was typed", () =>
    looking(stage, { refused: 409 }, async (page) => {
      await page.goto("/inquiries?status=closed");
      await page.getByLabel("Name for this view").fill("tern hollow");
      await page.getByRole("button", { name: "Save this view" }).click();
      const field = page.getByLabel("Name for this view");
      assert.equal(await field.inputValue(), "tern hollow");
      assert.equal(await field.getAttribute("aria-invalid"), "true");
      assert.match(await page.locator("#fresh-why").innerText(), /already/);
    }));

  test("what is downloaded is what the command exports with the same filter", () =>
    looking(stage, {}, async (page) => {
      for (const [form, readers, given] of [
        ["csv-inquiries", /The office:/, ["csv", "--table", "inquiries", "--for", "office"]],
        ["csv-findings", /Anybody:/, ["csv", "--table", "findings"]],
        ["xlsx", /The office:/, ["xlsx", "--for", "office"]],
        ["geojson", /Anybody:/, ["geojson"]],
        ["darwin-core", /Anybody:/, ["darwin-core"]],
        ["dump", /The office:/, ["dump"]],
        ["state-report", /The office:/, ["state-report", "--for", "office"]],
      ]) {
        await page.goto(CHOICE);
        const { name, bytes } = await downloaded(page, form, readers);
        assert.match(name, new RegExp(`^${form}-\\d{4}-\\d\\d-\\d\\d\\.`));
        const [kind, ...rest] = given;
        const written = await stage.exported(kind, [...rest, "--township", "Tern Hollow"]);
        assert.ok(bytes.equals(written), `${form}: ${bytes.length} and ${written.length} bytes`);
      }
    }));

  test("on paper the list is there, what was chosen is said, and the forms are not", () =>
    looking(stage, {}, async (page) => {
      await page.goto(CHOICE);
      await page.emulateMedia({ media: "print" });
      assert.ok(await page.getByText("Township: Tern Hollow").isVisible());
      assert.ok((await page.locator(".led > li:visible").count()) > 0);
      for (const gone of [".filters", "#downloads", "#views"]) assert.equal(await page.locator(gone).isVisible(), false);
    }));
}
