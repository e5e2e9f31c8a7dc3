// Drawing a seam from nothing, dragging, nudging, taking back: with the mouse, with the keys, with a finger.
import assert from "node:assert/strict";
import { test } from "node:test";
import { chooseSeam, handle, middle, onTop, openJob, openPage, saved, standUp, topBox } from "./bench.mjs";

const { program, browser } = await standUp();

test("a seam is drawn from nothing with the mouse, in far less than two minutes", async () => {
  const page = await openPage(browser, program.base);
  const began = Date.now();
  await page.goto(`${program.base}/#/jobs`);
  await page.getByRole("button", { name: "A new top in millimetres" }).click();
  await page.locator("svg.drawing .outline").waitFor();
  const id = Number(/job\/(\d+)/.exec(page.url())[1]);
  await page.getByRole("button", { name: "Draw a seam" }).click();
  await page.getByRole("button", { name: "a batten through pins" }).click();
  for (const [across, up] of [
    [0.01, 0.5],
    [0.35, 0.62],
    [0.7, 0.4],
  ])
    await page.mouse.click(...(await onTop(page, across, up)));
  await page.mouse.move(...(await onTop(page, 0.9, 0.5)));
  assert.match(await page.locator(".sketch .course").getAttribute("d"), /L/, "a rubber line shows the course");
  await page.mouse.dblclick(...(await onTop(page, 0.99, 0.5)));
  await page.locator(".tracks").waitFor();
  await saved(page);
  console.log(`    the first seam, from the list of jobs to its unrolled strip: ${((Date.now() - began) / 1000).toFixed(1)} s by the driver`);

  const screen = await program.screen(id);
  assert.equal(screen.seams.length, 1);
  assert.equal(screen.seams[0].as, "pins");
  assert.equal(screen.seams[0].handles.length, 4, "one handle for every place that was clicked");
  assert.ok(screen.seams[0].closes);
  assert.equal(screen.drawing.pieces.length, 2, "the seam parts the top");
  assert.equal(await page.locator(".track").count(), 4);
  assert.deepEqual(page.faults, []);
  await page.context().close();
});

test("a seam is drawn with the button held: it lies under the hand, and the top stays where it is", async () => {
  const page = await openPage(browser, program.base);
  const id = await program.job({ blank: { unit: "mm" } });
  await openJob(page, program.base, id);
  const before = await topBox(page);
  await page.getByRole("button", { name: "Draw a seam" }).click();
  await page.getByRole("button", { name: "a batten through pins" }).click();
  const course = [];
  for (let i = 0; i <= 40; i++) course.push([i / 40, 0.5 + 0.2 * Math.sin((i / 40) * 6)]);
  await page.mouse.move(...(await onTop(page, ...course[0])));
  await page.mouse.down();
  for (const [across, up] of course) await page.mouse.move(...(await onTop(page, across, up)));
  await page.mouse.up();
  assert.deepEqual(await topBox(page), before, "the top has not moved");
  await page.keyboard.press("Enter");
  await page.locator(".tracks").waitFor();
  await saved(page);
  const screen = await program.screen(id);
  const ends = screen.seams[0].handles.filter((handle) => handle.kind === "end").map((handle) => handle.at);
  assert.equal(ends.length, 2);
  const [, , length, width] = screen.drawing.box;
  for (const [end, [across, up]] of [
    [ends[0], course[0]],
    [ends[1], course[40]],
  ]) {
    const off = Math.hypot(end[0] - across * length, end[1] - up * width);
    assert.ok(off < 4, `an end lies ${off.toFixed(1)} mm beside the hand`);
  }
  assert.ok(screen.seams[0].closes);
  assert.deepEqual(page.faults, []);
  await page.context().close();
});

test("a seam is drawn from nothing with the keyboard alone", async () => {
  const page = await openPage(browser, program.base);
  await page.goto(`${program.base}/#/jobs`);
  const press = async (key, times = 1) => {
    for (let i = 0; i < times; i++) await page.keyboard.press(key);
  };
  const focusByTab = async (name) => {
    for (let i = 0; i < 80; i++) {
      await page.keyboard.press("Tab");
      const here = await page.evaluate(() => document.activeElement?.getAttribute("aria-label") ?? document.activeElement?.textContent ?? "");
      if (here.includes(name)) return;
    }
    assert.fail(`Tab never reaches "${name}"`);
  };
  await page.locator("button.main").first().waitFor();
  await focusByTab("A new top in millimetres");
  await press("Enter");
  await page.locator("svg.drawing .outline").waitFor();
  const id = Number(/job\/(\d+)/.exec(page.url())[1]);
  await focusByTab("Draw a seam");
  await press("Enter");
  await page.locator("#ways").waitFor();
  await focusByTab("a straight line");
  await press("Enter");
  await press("ArrowUp"); // shows the cross mark at the left edge
  await press("ArrowUp", 2);
  await press("Space");
  await press("Shift+ArrowRight", 11);
  await press("ArrowDown", 3);
  await press("Space"); // a straight line has two ends: the second place ends it
  await page.locator(".tracks").waitFor();
  await saved(page);
  let screen = await program.screen(id);
  assert.equal(screen.seams[0].as, "straight");
  assert.ok(screen.seams[0].planned);

  // Its end is nudged, then all is undone and done again, still by keys.
  const before = screen.seams[0].handles.find((h) => h.kind === "end");
  await handle(page, before.id).focus();
  await press("ArrowUp", 3);
  await page.waitForFunction((was) => !document.querySelector(".handle.end")?.getAttribute("aria-label").includes(was), before.value);
  await saved(page);
  screen = await program.screen(id);
  assert.notEqual(screen.seams[0].handles.find((h) => h.id === before.id).value, before.value);
  await press("Control+z");
  await page.locator(".redo").waitFor();
  await press("Control+Shift+z");
  await saved(page);
  assert.match(await page.locator("[role=status]").last().textContent(), /Done again/);
  assert.deepEqual(page.faults, []);
  await page.context().close();
});

test("a pin is dragged: the strip follows, too tight a turn is told at once, Escape takes the drag back", async () => {
  const id = await program.job({ example: "hall-console" });
  const page = await openPage(browser, program.base);
  await openJob(page, program.base, id);
  await chooseSeam(page, 1);
  const pin = handle(page, "/seams/1/curve/pins/points/2");
  const [x, y] = await middle(pin.locator(".mark"));
  const strip = page.locator(".track.radius .course");
  const gentle = await strip.getAttribute("d");
  assert.equal(await page.locator(".problems li").count(), 0);

  await page.mouse.move(x, y);
  await page.mouse.down();
  await page.mouse.move(x, y + 20, { steps: 4 });
  await page.waitForFunction((was) => document.querySelector(".track.radius .course").getAttribute("d") !== was, gentle);
  assert.match(await pin.locator(".reading .value").textContent(), /mm/, "the value stands at the handle");
  await page.keyboard.press("Escape");
  await page.waitForFunction((was) => document.querySelector(".track.radius .course").getAttribute("d") === was, gentle);
  await page.mouse.up();
  assert.equal((await program.screen(id)).version, 1, "nothing was saved");

  // Close beside its neighbour and far out: a turn that no tool follows.
  const neighbour = await middle(handle(page, "/seams/1/curve/pins/points/3").locator(".mark"));
  await page.mouse.move(x, y);
  await page.mouse.down();
  await page.mouse.move(neighbour[0] - 12, y - 40, { steps: 12 });
  await page.locator(".problems li").first().waitFor();
  await page.mouse.up();
  await saved(page);
  assert.ok((await page.locator(".drawing .note").count()) > 0, "a numbered mark stands at the place");
  assert.match(await page.locator(".undo").textContent(), /pin/i);
  await page.locator(".undo").click();
  await page.waitForFunction(() => document.querySelectorAll(".problems li").length === 0);
  assert.equal(await strip.getAttribute("d"), gentle);
  assert.deepEqual(page.faults, []);
  await page.context().close();
});

test("pins are added with a double click and with a key, and taken out with Delete", async () => {
  const id = await program.job({ example: "hall-console" });
  const page = await openPage(browser, program.base);
  await openJob(page, program.base, id);
  await chooseSeam(page, 1);
  const pins = () => page.locator(".handle.pin, .handle.end").count();
  assert.equal(await pins(), 5);
  const a = await middle(handle(page, "/seams/1/curve/pins/points/1").locator(".mark"));
  const b = await middle(handle(page, "/seams/1/curve/pins/points/2").locator(".mark"));
  await page.mouse.dblclick((a[0] + b[0]) / 2, (a[1] + b[1]) / 2 - 1);
  await page.waitForFunction(() => document.querySelectorAll(".handle.pin, .handle.end").length === 6);
  await handle(page, "/seams/1/curve/pins/points/3").focus();
  await page.keyboard.press("a");
  await page.waitForFunction(() => document.querySelectorAll(".handle.pin, .handle.end").length === 7);
  await saved(page);
  await handle(page, "/seams/1/curve/pins/points/2").focus();
  await page.keyboard.press("Delete");
  await page.waitForFunction(() => document.querySelectorAll(".handle.pin, .handle.end").length === 6);
  assert.deepEqual(page.faults, []);
  await page.context().close();
});

test("a finger drags a pin on a phone, and nothing is wider than the screen", async () => {
  const id = await program.job({ example: "hall-console" });
  const page = await openPage(browser, program.base, { viewport: { width: 390, height: 844 }, hasTouch: true, isMobile: true });
  await openJob(page, program.base, id);
  await chooseSeam(page, 1);
  const pin = handle(page, "/seams/1/curve/pins/points/2");
  const target = await pin.locator(".grip").boundingBox();
  assert.ok(target.width >= 44 && target.height >= 44, "a finger finds it");
  const [x, y] = await middle(pin.locator(".mark"));
  const before = await pin.getAttribute("aria-label");
  const driver = await page.context().newCDPSession(page);
  const touch = (type, points) => driver.send("Input.dispatchTouchEvent", { type, touchPoints: points.map(([px, py]) => ({ x: px, y: py })) });
  await touch("touchStart", [[x, y]]);
  for (let i = 1; i <= 8; i++) await touch("touchMove", [[x + i, y + 2 * i]]);
  await touch("touchEnd", []);
  await page.waitForFunction((was) => document.querySelector('[data-handle="/seams/1/curve/pins/points/2"]')?.getAttribute("aria-label") !== was, before);
  await saved(page);
  assert.equal((await program.screen(id)).version, 2);

  // Two fingers zoom.
  const outline = page.locator(".drawing .outline");
  const narrow = (await outline.boundingBox()).width;
  const [cx, cy] = await middle(outline);
  await touch("touchStart", [[cx - 30, cy + 22], [cx + 30, cy + 22]]);
  for (let i = 1; i <= 8; i++) await touch("touchMove", [[cx - 30 - 6 * i, cy + 22], [cx + 30 + 6 * i, cy + 22]]);
  await touch("touchEnd", []);
  await page.waitForFunction((was) => document.querySelector(".drawing .outline").getBoundingClientRect().width > was * 1.2, narrow);

  for (const part of ["Drawing", "Seam", "Tools", "Papers"]) {
    await page.getByRole("navigation").getByRole("link", { name: part }).click();
    await page.waitForTimeout(100);
    const over = await page.evaluate(() => document.documentElement.scrollWidth - document.documentElement.clientWidth);
    assert.equal(over, 0, `${part} is wider than the phone`);
  }
  assert.deepEqual(page.faults, []);
  await page.context().close();
});

test("the wheel zooms at the pointer, zero shows everything, the drawing is pushed about", async () => {
  const id = await program.job({ example: "bench-top" });
  const page = await openPage(browser, program.base);
  await openJob(page, program.base, id);
  const whole = await topBox(page);
  const corner = [whole.x, whole.y];
  await page.mouse.move(...corner);
  await page.mouse.wheel(0, -300);
  await page.waitForFunction((was) => document.querySelector(".drawing .outline").getBoundingClientRect().width > was * 1.3, whole.width);
  const near = await topBox(page);
  assert.ok(Math.abs(near.x - corner[0]) < 1.5 && Math.abs(near.y - corner[1]) < 1.5, "what lies under the pointer stays there");
  await page.mouse.move(corner[0] + 200, corner[1] + 60);
  await page.mouse.down();
  await page.mouse.move(corner[0] + 260, corner[1] + 90, { steps: 5 });
  await page.mouse.up();
  const pushed = await topBox(page);
  assert.ok(Math.abs(pushed.x - near.x - 60) < 2 && Math.abs(pushed.y - near.y - 30) < 2);
  await page.locator("svg.drawing").focus();
  await page.keyboard.press("0");
  const again = await topBox(page);
  assert.ok(Math.abs(again.width - whole.width) < 1);
  assert.deepEqual(page.faults, []);
  await page.context().close();
});
