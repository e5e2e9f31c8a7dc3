// The wood: which piece comes from which board, drawn, and the year to come.
import assert from "node:assert/strict";
import { test } from "node:test";
import { readFileSync } from "node:fs";
import { inspect, openJob, openPage, saved, standUp, unfold } from "./bench.mjs";

const { program, browser } = await standUp();
const stack = readFileSync(new URL("../../examples/stack-of-boards.json", import.meta.url), "utf8");

test("boards are drawn with their pieces, and a change of the top is followed", async () => {
  const id = await program.job({ document: stack });
  const page = await openPage(browser, program.base);
  await openJob(page, program.base, id);
  await unfold(page, "wood");
  const told = page.locator("#wood .closing");
  await told.waitFor();
  assert.equal(await told.locator(".board-edge").count(), 3);
  assert.deepEqual(await told.locator(".board-name").allTextContents(), ["front board", "back board", "insert"]);
  assert.match(await told.textContent(), /No other way of laying them starts less wood/);
  assert.match(await told.textContent(), /shrinks by .* when it is driest/);
  // Each piece with its rough cut: screws in the waste at both ends, and the lines that lead to them.
  assert.equal(await told.locator("figure", { hasText: "rough cut, screws and index marks" }).count(), 3);
  assert.ok((await told.locator("circle.rough-screw").count()) >= 12);
  assert.match(await told.textContent(), /Insert: rough cut and fastening/);
  assert.match(await told.textContent(), /Screws and cutter must never meet/);
  await inspect(page, "boards and the year to come");

  // A thicker top than the boards plane to.
  await unfold(page, "whole");
  const thickness = page.getByLabel("thickness of the top");
  await thickness.fill("37 mm");
  await thickness.press("Tab");
  await page.waitForFunction(() => /planes to/.test(document.querySelector("#wood .closing")?.textContent ?? ""));
  await saved(page);
  assert.deepEqual(page.faults, []);
  await page.context().close();
});

test("without boards the year is told all the same", async () => {
  const id = await program.job({ example: "bench-top" });
  const page = await openPage(browser, program.base);
  await openJob(page, program.base, id);
  await unfold(page, "wood");
  const told = page.locator("#wood .closing");
  await told.waitFor();
  assert.match(await told.textContent(), /There are no boards on the shelf of this job yet/);
  assert.match(await told.textContent(), /Hold it fast along one line/);
  await page.context().close();
});

test("boards and knots are put on the shelf of the page, and what lies on them is told", async () => {
  const id = await program.job({ example: "hall-console" });
  const page = await openPage(browser, program.base);
  await openJob(page, program.base, id);
  await unfold(page, "wood");
  await page.locator("#wood .closing", { hasText: "no boards on the shelf" }).waitFor();
  await unfold(page, "shelf");
  const boards = page.locator("#shelf section", { has: page.getByRole("heading", { name: "Boards" }) });
  const put = async (name, length, width) => {
    await boards.getByRole("button", { name: "Put a board on the shelf" }).click();
    await boards.getByLabel("long").fill(length);
    await boards.getByLabel("wide", { exact: true }).fill(width);
    await boards.getByLabel("thick", { exact: true }).fill("40");
    await boards.getByLabel("called").fill(name);
    await boards.getByRole("button", { name: "Put it there" }).click();
    await page.getByLabel(`length of ${name}`).waitFor();
  };
  await put("dark 1", "1600", "230");
  await put("dark 2", "1600", "240");
  await page.locator("#wood .closing", { hasText: "there is no board of Maple, sugar for it" }).waitFor();
  await put("pale", "1600", "190");
  await page.getByLabel("wood of pale").selectOption("Maple, sugar");
  await page.locator("#wood .closing", { hasText: "No other way of laying them starts less wood" }).waitFor();
  assert.equal(await page.locator("#wood .board-name").count(), 3);

  // A knot that the insert cannot dodge.
  const spots = page.locator("#shelf section", { has: page.getByRole("heading", { name: "Knots and other spots" }) });
  await spots.getByRole("button", { name: "Mark a spot on a board" }).click();
  await spots.locator("form.add select").selectOption({ label: "pale" });
  await spots.getByLabel("from the left end").fill("800");
  await spots.getByLabel("from the near edge").fill("95");
  await spots.getByLabel("radius").fill("20");
  await spots.getByRole("button", { name: "Mark it" }).click();
  await page.locator("#wood .closing", { hasText: "insert: the boards are large enough, but spots" }).waitFor();
  await inspect(page, "boards and knots on the shelf");
  await page.getByLabel("where allowed of spot 1 on pale").selectOption("anywhere");
  await page.locator("#wood .closing", { hasText: "No other way of laying them starts less wood" }).waitFor();

  // The air of its own.
  await unfold(page, "whole");
  await page.getByLabel("driest air").selectOption("own");
  await page.getByLabel("humidity of the driest air").fill("20");
  await page.getByLabel("humidity of the driest air").press("Tab");
  await page.locator("#wood .closing", { hasText: "In the driest air, 21 °C and 20 %" }).waitFor();
  await saved(page);
  assert.deepEqual(page.faults, []);
  await page.context().close();
});
