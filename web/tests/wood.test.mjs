// The wood: which piece comes from which board, drawn, and the year to come.
import assert from "node:assert/strict";
import { test } from "node:test";
import { readFileSync } from "node:fs";
import { boardPhoto, inspect, openJob, openPage, saved, standUp, unfold } from "./bench.mjs";

const { program, browser } = await standUp();
const stack = readFileSync(new URL("../../examples/stack-of-boards.json", import.meta.url), "utf8");

test("boards are drawn with their pieces, and a change of the top is followed", async () => {
  const id = await program.job({ document: stack });
  const page = await openPage(browser, program.base);
  await openJob(page, program.base, id);
  await unfold(page, "wood");
  const told = page.locator("#wood .closing");
  await told.waitFor();
  // Three are started; those that are not lie folded away.
  assert.equal(await told.locator("> figure .board-edge").count(), 3);
  assert.equal(await told.locator("details .board-edge").count(), 3);
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

test("a piece is taken and laid elsewhere, held there, and left to the plan again", async () => {
  const id = await program.job({ document: stack });
  const page = await openPage(browser, program.base);
  await openJob(page, program.base, id);
  await unfold(page, "wood");
  const insert = page.locator("#wood .board-part", { has: page.locator(".board-piece") }).and(page.getByRole("button", { name: /^insert/ }));
  await insert.waitFor();
  await insert.scrollIntoViewIfNeeded();
  const before = await insert.locator(".board-piece").boundingBox();
  const grip = { x: before.x + before.width / 3, y: before.y + before.height / 2 };
  await page.mouse.move(grip.x, grip.y);
  await page.mouse.down();
  await page.mouse.move(grip.x + 8, grip.y, { steps: 2 });
  await page.mouse.move(grip.x + 14, grip.y, { steps: 3 });
  // In the hand it goes with the pointer.
  const meanwhile = await insert.locator(".board-piece").boundingBox();
  assert.ok(Math.abs(meanwhile.x - before.x - 14) < 2, `moved by ${meanwhile.x - before.x}`);
  await page.mouse.up();
  await page.locator("#wood .board-name", { hasText: "insert, held" }).waitFor();
  const after = await insert.locator(".board-piece").boundingBox();
  // The end of the board was nearer than a hand's breadth: it lies along it.
  assert.ok(after.x - before.x > 5 && after.x - before.x < 15, `lies ${after.x - before.x} px from where it lay`);
  await inspect(page, "a piece laid by hand");

  // Large, the view stays open while the boards are laid anew.
  await page.getByRole("button", { name: "Lay the boards out large" }).click();
  const large = page.getByRole("dialog", { name: "The boards, large" });
  await large.getByText("insert, held").waitFor();
  assert.ok((await large.locator(".board svg").first().boundingBox()).width > 900);
  await inspect(page, "the boards laid out large");
  await insert.focus();
  await page.keyboard.press("ArrowRight");
  await page.waitForTimeout(1200);
  assert.equal(await large.isVisible(), true);
  await large.getByRole("button", { name: "Back to the job" }).click();

  const presses = page.locator("#wood .part-tools");
  await presses.getByText("laid by hand").waitFor();
  await presses.getByRole("button", { name: "Turn face down" }).click();
  await presses.getByRole("button", { name: "Turn face up" }).waitFor();
  await presses.getByRole("button", { name: "Leave it to the plan" }).click();
  await page.locator("#wood .board-name", { hasText: /^insert$/ }).waitFor();

  // By the keyboard, a centimetre at a time.
  await insert.focus();
  await page.keyboard.press("Shift+ArrowRight");
  await page.locator("#wood .board-name", { hasText: "insert, held" }).waitFor();
  await saved(page);
  assert.deepEqual(page.faults, []);
  await page.context().close();
});

test("a spot and a line along the grain are drawn on a board", async () => {
  const id = await program.job({ document: stack });
  const page = await openPage(browser, program.base);
  await openJob(page, program.base, id);
  await unfold(page, "wood");
  const board = page.locator("#wood figure.board", { has: page.locator(".board-part") }).first().locator("svg");
  await board.waitFor();
  const spots = await page.locator("#wood .board-spot").count();
  const box = await board.boundingBox();
  const at = (x, y) => page.mouse.click(box.x + x * box.width, box.y + y * box.height);
  await page.getByLabel("On the boards").selectOption("check");
  await board.scrollIntoViewIfNeeded();
  Object.assign(box, await board.boundingBox());
  await at(0.01, 0.3);
  await at(0.04, 0.3);
  await page.locator("#wood .board-tools").getByText("corner to corner").waitFor();
  assert.equal(await page.getByRole("button", { name: "Keep it", exact: true }).isDisabled(), true);
  await at(0.03, 0.5);
  await page.getByRole("button", { name: "Keep it", exact: true }).click();
  await page.waitForFunction((n) => document.querySelectorAll("#wood .board-spot").length === n + 1, spots);
  await page.getByLabel("On the boards").selectOption("grain");
  Object.assign(box, await board.boundingBox());
  await at(0.05, 0.5);
  await at(0.5, 0.52);
  await at(0.9, 0.5);
  await inspect(page, "a line along the grain being drawn");
  await page.getByRole("button", { name: "Keep it", exact: true }).click();
  await page.getByRole("button", { name: /Take the grain lines of .* away/ }).click();
  await page.waitForFunction(() => [...document.querySelectorAll("#wood .board-fibres")].every((p) => !p.getAttribute("d")));
  await saved(page);
  assert.deepEqual(page.faults, []);
  await page.context().close();
});

test("the finished top is shown from its boards, with a figure where they have no picture", async () => {
  const id = await program.job({ document: stack });
  const page = await openPage(browser, program.base);
  await openJob(page, program.base, id);
  await unfold(page, "wood");
  const top = page.locator("#wood .finished");
  await top.waitFor();
  assert.match(await top.textContent(), /The figure is drawn, not photographed/);
  // What is drawn lies within the outline: each piece is seen where it is.
  const tones = await top.locator("path[fill-rule=evenodd]").evaluateAll((all) => all.map((p) => p.getAttribute("fill")));
  assert.deepEqual([...new Set(tones)].length, 2);
  assert.ok((await top.locator("g[transform^=matrix] path").count()) >= 6);
  assert.deepEqual(page.faults, []);
  await page.context().close();
});

test("a photo of a board becomes its picture: on the board, and in the finished top", async () => {
  const photo = boardPhoto();
  const document = JSON.parse(stack);
  for (const board of document.shelf.boards)
    if (board.name === "maple 1") Object.assign(board, { length: 1700, width: 220 });
  const id = await program.job({ document: JSON.stringify(document) });
  const page = await openPage(browser, program.base);
  await openJob(page, program.base, id);
  await unfold(page, "shelf");
  const row = page.locator("#shelf li", { has: page.getByLabel("length of maple 1") });
  await row.locator(".board-picture input").setInputFiles(photo.file);
  const view = page.getByRole("dialog", { name: "A photo of maple 1" });
  const grips = view.locator(".grip");
  await grips.nth(3).waitFor();
  assert.equal(await view.getByLabel("length of the board by the tape").inputValue(), "1700 mm");

  // Corners that are not the board's: told, and nothing is taken over.
  await view.getByRole("button", { name: "Make the picture" }).click();
  await view.getByRole("alert").waitFor();
  assert.match(await view.getByRole("alert").textContent(), /by the marks it is/);
  assert.ok(await view.getByRole("button", { name: "Use this picture" }).isDisabled());

  // Dragged to where they are, to a pixel or two of the photo.
  const svg = view.locator("svg.over");
  for (const [i, corner] of photo.corners.entries()) {
    const to = await svg.evaluate((node, p) => {
      const at = new DOMPoint(p[0], p[1]).matrixTransform(node.getScreenCTM());
      return [at.x, at.y];
    }, corner);
    const box = await grips.nth(i).boundingBox();
    await page.mouse.move(box.x + box.width / 2, box.y + box.height / 2);
    await page.mouse.down();
    await page.mouse.move(to[0], to[1], { steps: 3 });
    await page.mouse.up();
  }
  await view.getByRole("button", { name: "Make the picture" }).click();
  await view.locator(".findings").waitFor();
  assert.match(await view.locator(".findings").textContent(), /18 marks agree within 0\.\d\d pixels/);
  await page.waitForFunction(() => document.querySelector(".picture-view img.made")?.naturalWidth > 1000);
  await inspect(page, "a photo of a board");
  if (process.env.LOOK_AT) await page.screenshot({ path: `${process.env.LOOK_AT}/photo.png` });
  await view.getByRole("button", { name: "Use this picture" }).click();
  await view.waitFor({ state: "detached" });
  await saved(page);
  const name = (await program.screen(id)).shelf.boards.find((b) => b.name.value === "maple 1").picture;
  assert.match(name, /^board-[0-9a-f]{24}\.jpg$/);

  // On the board that is sawn, and in the top.
  await unfold(page, "wood");
  await page.locator(`#wood .board image[href="/api/pictures/${name}"]`).first().waitFor();
  assert.equal(await page.locator(`#wood .finished image[href="/api/pictures/${name}"]`).count(), 1);
  assert.equal(await page.locator("#wood image").count(), 2);
  assert.match(await page.locator("#wood .finished").textContent(), /no picture that can be shown: front board and back board/);
  await inspect(page, "boards with a picture");
  if (process.env.LOOK_AT) await page.locator("#wood").screenshot({ path: `${process.env.LOOK_AT}/wood.png` });

  await row.getByRole("button", { name: "Take the picture off" }).click();
  await page.waitForFunction(() => !document.querySelector("#wood image"));
  await saved(page);
  assert.deepEqual(page.faults, []);
  await page.context().close();
});
