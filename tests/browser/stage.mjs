// What the office truly holds, read past the page: what the tests compare the page with.

/** Fills the stage from the notebook of the office. */
export async function readStage(stage, desk) {
  const of = (kind) => desk.records("--kind", kind);
  const everyInquiry = await of("inquiry");
  const held = new Set((await of("alert")).filter((a) => a.fields.hold).map((a) => a.fields.inquiry));
  stage.base = desk.base;
  stage.dooryard = desk.dooryard;
  stage.exported = desk.exported;
  stage.office = desk.office;
  stage.session = await signIn(stage.browser, desk);
  stage.inquiries = everyInquiry.filter((i) => !held.has(i.id));
  stage.sealed = everyInquiry.filter((i) => held.has(i.id));
  stage.sites = await of("site");
  stage.plants = await of("plant");
  stage.findings = await of("finding");
  stage.photos = await of("photo");
  const contacts = await of("contact");
  stage.siteOf = (inquiry) => stage.sites.find((s) => s.id === inquiry.fields.site);
  stage.contactOf = (inquiry) => contacts.find((c) => c.id === inquiry.fields.contact);

  const begins = (words) => stage.inquiries.find((i) => i.fields.summary?.startsWith(words));
  stage.limb = begins("Broken limb over a service drop");
  stage.child = begins("A child ate berries");
  stage.beans = begins("Beans and tomatoes curled");
  const [sample] = await of("sample");
  stage.sampled = stage.inquiries.find((i) => i.id === sample.fields.inquiry);

  const disputes = await desk.records("--conflict");
  const isAbout = (inquiry) => (row) => row.id === inquiry.fields.site || row.id === inquiry.id;
  stage.disputed = stage.inquiries.filter((i) => disputes.some(isAbout(i))).map((i) => i.id);
  stage.refusedBundle = await refusedBundle(stage);
}

/** Comes in as a new admin does: by the link, with a password of one's own. Gives what the browser then holds. */
export async function signIn(browser, desk, role = "admin") {
  const context = await browser.newContext({ baseURL: desk.base });
  const page = await context.newPage();
  await page.goto(await desk.link(role));
  await page.getByLabel(/^New password/).fill("beans and squash");
  await page.getByLabel("The same once more").fill("beans and squash");
  await page.getByRole("button", { name: "Choose this password" }).click();
  await page.waitForURL("**/account");
  const session = await context.storageState();
  await context.close();
  return session;
}

/** Address of a file that the office did not take in. */
async function refusedBundle(stage) {
  const page = await stage.browser.newPage({ storageState: stage.session });
  await page.goto(`${stage.base}/take-in`);
  const address = await page.getByRole("link", { name: "next-door.yard" }).getAttribute("href");
  await page.close();
  return address;
}
