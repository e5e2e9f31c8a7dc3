// Noting the work at the bench, learning from it, and finding it again.
import assert from "node:assert/strict";
import path from "node:path";
import { test } from "node:test";
import { inspect, openPage, standUp } from "./bench.mjs";

const { program, browser } = await standUp();
const phone = { viewport: { width: 390, height: 844 }, hasTouch: true };
/** SEAMWRIGHT_SHOTS: a folder for pictures to look at. */
const shot = async (page, name) => {
  if (process.env.SEAMWRIGHT_SHOTS) await page.screenshot({ path: path.join(process.env.SEAMWRIGHT_SHOTS, `${name}.png`), fullPage: true });
};

async function openNotes(page, id) {
  await page.goto(`${program.base}/shop?job=${id}`);
  await page.getByRole("link", { name: "Work and notes" }).click();
  await page.locator(".notes .work > li").first().waitFor();
}
const made = async (id) => (await fetch(`${program.base}/api/jobs/${id}/made`)).json();
const toGo = (view) => Number(/([\d.]+) h to go/.exec(view.progress)[1]);
const step = (page, name) => page.locator(".notes .work > li").filter({ has: page.locator("summary", { hasText: name }) }).first();
async function unfold(part) {
  if (!(await part.locator("details").evaluate((node) => node.open))) await part.locator("summary").click();
}
/** Fills the empty form of a step; names are those of its labels. */
async function note(page, part, values) {
  await unfold(part);
  const form = part.locator("form.new");
  for (const [label, value] of Object.entries(values)) await form.getByLabel(label).fill(value);
  const before = await page.locator(".notes .note").count();
  await form.getByRole("button", { name: "Note it" }).click();
  await page.waitForFunction((n) => document.querySelectorAll(".notes .note").length > n, before);
}
const edit = (id, base, edits) =>
  fetch(`${program.base}/api/jobs/${id}/edit`, { method: "POST", headers: { "Content-Type": "application/json", Origin: program.base }, body: JSON.stringify({ base, edits }) });

const console_ = await program.job({ example: "hall-console" });

test("hours, a gap and litres are noted on a phone, stay, and are told", async () => {
  const page = await openPage(browser, program.base, phone);
  await openNotes(page, console_);
  const steps = (await made(console_)).steps.length;
  await shot(page, "notes-empty-390");
  assert.match(await page.locator(".progress").textContent(), new RegExp(`0 of ${steps} steps done`));
  const mill = step(page, "Joint and plane");
  await note(page, mill, { hours: "6.5", note: "Far end of the walnut lifted" });
  await page.getByText(`1 of ${steps} steps done, 6.5 h noted`).waitFor();
  assert.match(await mill.locator(".note .says").first().textContent(), /6\.5 h taken/);
  // The boxes of a step are those that belong to it.
  assert.equal(await mill.locator("form.new").getByLabel(/gap/).count(), 0);
  await note(page, step(page, "Fit front seam dry"), { "widest gap, mm": "0.9" });
  const wide = step(page, "Fit front seam dry");
  assert.match(await wide.locator(".note").textContent(), /Gap found 0\.90 mm/);
  assert.match(await wide.locator(".note .caution").first().textContent(), /wider than your limit/);
  const coat = page.locator(".notes .work > li").filter({ has: page.getByLabel("litres for this coat") }).first();
  await note(page, coat, { "litres for this coat": "0.2", hours: "1" });
  assert.match(await coat.locator(".note").textContent(), /0\.20 L used/);
  // Nothing is lost by loading the page anew.
  await page.reload();
  await page.locator(".notes .work > li").first().waitFor();
  await page.getByText(`3 of ${steps} steps done`).waitFor();
  await unfold(mill);
  assert.equal(await mill.getByLabel(/^hours of/).inputValue(), "6.5");
  // Changed where it stands; what cannot be read is told there, and is not written.
  await mill.getByLabel(/^hours of/).fill("7");
  await mill.getByLabel(/^hours of/).press("Tab");
  await page.getByText("8 h noted").waitFor();
  await mill.getByLabel(/^hours of/).fill("long");
  await mill.getByLabel(/^hours of/).press("Tab");
  await mill.getByRole("alert").waitFor();
  assert.equal((await made(console_)).steps.find((s) => s.id === "mill").notes[0].fields[0].field.value, "7");
  await mill.getByLabel(/^hours of/).fill("7");
  await shot(page, "notes-390");
  await inspect(page, "notes on a phone");
  assert.equal(await page.evaluate(() => document.documentElement.scrollWidth <= innerWidth), true, "nothing is wider than the phone");
  assert.deepEqual(page.faults, []);
  await page.context().close();
});

test("a note is taken away and brought back", async () => {
  const page = await openPage(browser, program.base, phone);
  await openNotes(page, console_);
  const mill = step(page, "Joint and plane");
  await unfold(mill);
  const before = (await made(console_)).done;
  await mill.getByRole("button", { name: /Take this note away/ }).click();
  await page.getByText(`${before - 1} of `).waitFor();
  await page.getByRole("button", { name: /^Take back: The note on jointing/ }).click();
  await page.getByText(`${before} of `).waitFor();
  assert.equal((await made(console_)).done, before);
  assert.deepEqual(page.faults, []);
  await page.context().close();
});

test("kept on the shelf, the notes make another job take longer", async () => {
  const page = await openPage(browser, program.base, { viewport: { width: 1400, height: 900 } });
  const other = await program.job({ example: "bench-top" });
  const before = await made(other);
  await openNotes(page, console_);
  await page.getByRole("button", { name: /^Keep 3 records/ }).click();
  await page.getByText("All of it is kept on the shelf").waitFor();
  await shot(page, "notes-1400");
  await inspect(page, "notes at a desk");
  const { version } = await program.screen(other);
  assert.equal((await edit(other, version, [{ take_shop_shelf: true }])).status, 200);
  const after = await made(other);
  assert.ok(toGo(after) > toGo(before), `${after.progress}, before ${before.progress}`);
  await openNotes(page, other);
  await page.getByText("By what your shop wrote down").waitFor();
  await shot(page, "notes-learnt-1400");
  assert.deepEqual(page.faults, []);
  await page.context().close();
});

test("a word of a note is found in the list of jobs, by keyboard", async () => {
  const page = await openPage(browser, program.base, { viewport: { width: 1400, height: 900 } });
  await page.goto(`${program.base}/#/jobs`);
  const field = page.getByRole("searchbox", { name: /Find in all jobs/ });
  await field.focus();
  await page.keyboard.type("LIFT waln");
  await page.getByText("Found in one job.").waitFor();
  const hit = page.locator(".found dd").first();
  assert.match(await hit.textContent(), /Far end of the walnut lifted/);
  assert.deepEqual(await hit.locator("mark").allTextContents(), ["waln", "lift"]);
  assert.match(await page.locator(".found dt").first().textContent(), /note on jointing and planing/);
  await shot(page, "find-1400");
  await inspect(page, "search");
  await page.keyboard.press("Escape");
  await page.locator(".found").waitFor({ state: "detached" });
  assert.equal(await field.inputValue(), "");
  await page.keyboard.type('" OR * zebra');
  await page.getByText("Found in no job.").waitFor();
  await field.fill("lifted");
  await page.getByText("Found in one job.").waitFor();
  await page.setViewportSize({ width: 390, height: 844 });
  await shot(page, "find-390");
  assert.equal(await page.evaluate(() => document.documentElement.scrollWidth <= innerWidth), true, "nothing is wider than the phone");
  await field.focus();
  await page.keyboard.press("Tab");
  await page.keyboard.press("Enter");
  await page.waitForURL(new RegExp(`#/job/${console_}$`));
  assert.deepEqual(page.faults, []);
  await page.context().close();
});

test("the steps at the router stay as they were", async () => {
  const page = await openPage(browser, program.base, phone);
  await page.goto(`${program.base}/shop?job=${console_}`);
  await page.locator(".shop li label").first().waitFor();
  assert.equal(await page.locator(".notes").count(), 0);
  await page.getByRole("link", { name: "Work and notes" }).click();
  await page.locator(".notes").waitFor();
  await page.getByRole("link", { name: "At the router" }).click();
  await page.locator(".shop li label").first().waitFor();
  assert.equal(await page.locator(".notes").count(), 0);
  assert.deepEqual(page.faults, []);
  await page.context().close();
});
