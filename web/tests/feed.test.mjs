// How the router is fed along a seam, and discs that correct where the wood tears.
import assert from "node:assert/strict";
import { test } from "node:test";
import { inspect, openJob, openPage, saved, standUp, unfold } from "./bench.mjs";

const { program, browser } = await standUp();
const pictures = process.env.SEAMWRIGHT_LOOK; // a folder: pictures to look at are put there

async function look(page, name) {
  if (pictures) await page.screenshot({ path: `${pictures}/${name}.png` });
}

async function fed(page) {
  await page.getByRole("button", { name: "Show its feed" }).click();
  await page.locator(".track.feed_left .stroke").first().waitFor();
}

test("both edges of a seam are shown with angle, strokes and where fibres lift", async () => {
  const id = await program.job({ example: "hall-console" });
  const page = await openPage(browser, program.base, { viewport: { width: 1400, height: 900 } });
  await openJob(page, program.base, id);
  await fed(page);
  assert.ok((await page.locator(".track.feed_right .stroke .shaft").count()) > 0);
  assert.ok((await page.locator(".track.feed_left .stroke text").first().textContent()).trim().length > 0, "strokes are numbered");
  await page.locator(".tracks").focus();
  await page.keyboard.press("ArrowRight");
  assert.match(await page.locator(".tracks").getAttribute("aria-valuetext"), /Feeding the left edge: .*; stroke \d+, .*toward the (end|start)/);
  await inspect(page, "a seam with its feed");
  await look(page, "strip-1400");
  // The same for those who do not see it.
  await page.getByRole("button", { name: "Show as a table" }).click();
  const table = page.locator(".table-frame");
  await table.locator("th", { hasText: "Feeding the left edge" }).waitFor();
  assert.match(await table.textContent(), /stroke 1/);
  await look(page, "table-1400");
  await unfold(page, "feed");
  assert.match(await page.locator("#feed .closing").textContent(), /Conventional/);
  assert.match(await page.locator("#feed .closing").textContent(), /nobody has measured/);
  assert.deepEqual(page.faults, []);
  await page.context().close();
});

test("on a phone the strip of the feed stands within the page", async () => {
  const id = await program.job({ example: "hall-console" });
  const page = await openPage(browser, program.base, { viewport: { width: 390, height: 844 } });
  await openJob(page, program.base, id);
  await page.locator("#seam").scrollIntoViewIfNeeded();
  await fed(page);
  await page.locator("#seam").scrollIntoViewIfNeeded();
  assert.ok(await page.evaluate(() => document.documentElement.scrollWidth <= innerWidth), "nothing sticks out");
  await look(page, "strip-390");
  assert.deepEqual(page.faults, []);
  await page.context().close();
});

test("a disc is put on the shelf, its rim written down, and the feed follows it", async () => {
  const id = await program.job({ example: "hall-console" });
  const page = await openPage(browser, program.base, { viewport: { width: 1400, height: 900 } });
  await openJob(page, program.base, id);
  await unfold(page, "feed");
  await page.locator("#feed .closing").waitFor();
  await unfold(page, "shelf");
  const discs = page.getByRole("region", { name: "Discs" });
  await discs.getByRole("button", { name: "Put a disc on the shelf" }).click();
  await discs.getByRole("button", { name: "Put it there" }).click();
  await discs.getByText("Nothing is written of its rim yet.").waitFor();
  await discs.getByRole("button", { name: "Write down a stretch" }).click();
  await discs.getByLabel("from °").fill("300");
  await discs.getByLabel("to °").fill("20");
  await discs.getByLabel("seen", { exact: true }).selectOption("torn");
  await discs.getByRole("button", { name: "Write it down" }).click();
  await discs.getByText(/corrected by the disc of/).waitFor();
  await saved(page);
  const wood = (await program.screen(id)).shelf.discs[0];
  assert.deepEqual(wood.rim[0].fields.map((f) => f.value), ["300°", "20°", "conventional", "torn"]);
  await page.waitForFunction(() => /corrected by the disc of/.test(document.querySelector("#feed .closing")?.textContent ?? ""));
  await discs.scrollIntoViewIfNeeded();
  await look(page, "discs-1400");
  await inspect(page, "a disc on the shelf");
  const sheet = await fetch(`${program.base}/api/jobs/${id}/papers/disc.pdf`);
  assert.equal(sheet.status, 200);
  await discs.getByRole("button", { name: "Strike out" }).click();
  await discs.getByText("Nothing is written of its rim yet.").waitFor();
  await discs.getByRole("button", { name: "Take away" }).click();
  await discs.getByText(/None yet/).waitFor();
  assert.deepEqual(page.faults, []);
  await page.context().close();
});

test("passes by wood and a last skim are asked for among the limits", async () => {
  const id = await program.job({ example: "hall-console" });
  const page = await openPage(browser, program.base, { viewport: { width: 1400, height: 900 } });
  await openJob(page, program.base, id);
  await unfold(page, "whole");
  await page.getByLabel("passes by wood and cutter").check();
  await page.getByLabel("whether a skim is left").selectOption({ label: "left and taken off" });
  await page.getByLabel("last skim", { exact: true }).waitFor();
  await saved(page);
  const steps = (await program.screen(id)).seams[0].chains.find((chain) => chain.chosen).steps;
  const lines = steps.flatMap((step) => step.lines).join("\n");
  assert.match(lines, /The steps go by the wood and the cutter/);
  assert.match(lines, /Last of all the skim/);
  await look(page, "limits-1400");
  assert.deepEqual(page.faults, []);
  await page.context().close();
});

test("strange questions are refused", async () => {
  const id = await program.job({ example: "hall-console" });
  const get = (what) => fetch(`${program.base}/api/jobs/${id}/feed/${what}`);
  assert.equal((await get("0")).status, 200);
  assert.match((await (await get("7")).json()).verdict, /no such seam/);
  for (const wrong of ["", "x", "-1", "1e3", "99999999999"]) assert.equal((await get(wrong)).status, 404, wrong);
});
