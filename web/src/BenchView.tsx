// One job on the bench: the drawing, the unrolled seam under it, and what is known beside them.
import { For, Show, createEffect, createMemo } from "solid-js";
import { settled } from "./bench";
import { choosingWay, overlays, setChoosingWay, setSketch, sketch, toggleOverlay, type Overlay, type Way } from "./choice";
import { followClosing } from "./closing";
import { followFeed } from "./feed";
import { followWood } from "./wood";
import { followWork } from "./work";
import { Column } from "./column/Column";
import { Drawing, drawingControl } from "./drawing/Drawing";
import { beginSketch, endSketch, giveUp, lay, places_wanted, way_says, way_tells } from "./drawing/sketch";
import { Notices } from "./Notices";
import { BoardPhotoView } from "./picture/BoardPhotoView";
import { photo } from "./picture/boardPhoto";
import { PictureView } from "./picture/PictureView";
import { isPicture, pictures, tracePictures } from "./picture/tracing";
import { Strip } from "./strip/Strip";
import { Title } from "./Title";

export function BenchView() {
  // How tall the drawing wants to be for its width: a long narrow top needs little height, a round one much.
  const ratio = createMemo(() => {
    const box = settled()?.drawing.box ?? [0, 0, 1, 1];
    return Math.round(((box[3] - box[1]) / Math.max(box[2] - box[0], 1)) * 100) / 100;
  });
  let job!: HTMLDivElement;
  createEffect(() => job.style.setProperty("--ratio", String(ratio())));
  followClosing();
  followFeed();
  followWood();
  followWork();
  return (
    <div ref={job} class="job">
      <Title />
      <Notices />
      <Show when={pictures()}>{(files) => <PictureView files={files()} />}</Show>
      <Show when={photo()}>{(now) => <BoardPhotoView photo={now()} />}</Show>
      <main class="work">
        <section
          class="top"
          id="drawing"
          aria-label="Drawing of the top"
          onDragOver={(e) => e.preventDefault()}
          onDrop={(e) => {
            e.preventDefault();
            const dropped = [...(e.dataTransfer?.files ?? [])].filter(isPicture);
            if (dropped.length > 0) tracePictures(dropped);
          }}
        >
          <Drawing />
          <Show when={sketch()} fallback={<Caption />}>
            <SketchCaption />
          </Show>
        </section>
        <Strip />
      </main>
      <Column />
      <nav class="bottom" aria-label="Parts of the page">
        <a href="#drawing" onClick={(e) => go(e, "drawing")}>
          Drawing
        </a>
        <a href="#seam" onClick={(e) => go(e, "seam")}>
          Seam
        </a>
        <a href="#shelf" onClick={(e) => go(e, "shelf")}>
          Tools
        </a>
        <a href="#papers" onClick={(e) => go(e, "papers")}>
          Papers
        </a>
      </nav>
    </div>
  );
}

function go(e: MouseEvent, id: string): void {
  e.preventDefault();
  const part = document.getElementById(id);
  if (!part) return;
  if (part instanceof HTMLDetailsElement) part.open = true;
  requestAnimationFrame(() => part.scrollIntoView({ block: "start" }));
}

const overlay_says: [Overlay, string][] = [
  ["templates", "templates"],
  ["rough", "rough cuts"],
  ["sheets", "paper sheets"],
];

/** The line under the drawing. */
function Caption() {
  const control = drawingControl;
  const centre = (): [number, number] => {
    const [width, height] = control()?.size() ?? [0, 0];
    return [width / 2, height / 2];
  };
  return (
    <div class="caption">
      <div class="ways">
        <button type="button" class="main" aria-expanded={choosingWay()} aria-controls="ways" onClick={() => setChoosingWay(!choosingWay())}>
          Draw a seam
        </button>
        <Show when={choosingWay()}>
          <Ways />
        </Show>
      </div>
      <span class="shown" role="group" aria-label="Show over the drawing">
        <span class="lead">Show</span>
        <For each={overlay_says}>
          {([what, says]) => (
            <button type="button" class={`quiet toggle ${what}`} aria-pressed={overlays().has(what)} onClick={() => toggleOverlay(what)}>
              {says}
            </button>
          )}
        </For>
      </span>
      <span class="zoom" role="group" aria-label="Size of the drawing">
        <button type="button" class="quiet" onClick={() => control()?.zoom(1.4, centre())}>
          nearer
        </button>
        <button type="button" class="quiet" onClick={() => control()?.zoom(1 / 1.4, centre())}>
          farther
        </button>
        <button type="button" class="quiet" disabled={control()?.isFitted() ?? true} onClick={() => control()?.fit()}>
          whole top
        </button>
      </span>
    </div>
  );
}

function Ways() {
  const ways = Object.keys(way_says) as Way[];
  return (
    <div
      class="choices"
      id="ways"
      role="group"
      aria-label="How is the seam drawn?"
      onKeyDown={(e) => {
        if (e.key === "Escape") setChoosingWay(false);
      }}
    >
      <p>How does it run?</p>
      <For each={ways}>
        {(way, i) => (
          <button
            type="button"
            ref={(node) => {
              if (i() === 0) queueMicrotask(() => node.focus());
            }}
            onClick={() => {
              beginSketch(way);
              if (way !== "edging") queueMicrotask(() => document.querySelector<SVGElement>("svg.drawing")?.focus());
            }}
          >
            {way_says[way]}
          </button>
        )}
      </For>
      <p class="or">or</p>
      <button
        type="button"
        class="whole-row"
        onClick={() => {
          setChoosingWay(false);
          lay("pins", [], drawingControl()?.view().px_per_mm);
        }}
      >
        lay one across the middle
      </button>
      <label class="whole-row from-picture">
        <span>trace one from a photo or scans</span>
        <input
          type="file"
          multiple
          accept=".jpg,.jpeg,.png,image/jpeg,image/png"
          onChange={(e) => {
            const chosen = [...(e.currentTarget.files ?? [])].filter(isPicture);
            setChoosingWay(false);
            if (chosen.length > 0) tracePictures(chosen);
          }}
        />
      </label>
    </div>
  );
}

function SketchCaption() {
  return (
    <Show when={sketch()}>
      {(s) => {
        const wanted = () => places_wanted[s().as];
        const count = () => s().places.length;
        return (
          <div class="caption sketching">
            <p>
              <b>{way_says[s().as].charAt(0).toUpperCase() + way_says[s().as].slice(1)}.</b> {way_tells[s().as]}{" "}
              <span class="aside">{count() === 0 ? "Click on the top, or use the arrow keys and Space." : wanted() > 0 ? `${count()} of ${wanted()} set.` : `${count()} set; Enter or a double click ends.`}</span>
            </p>
            <span class="acts">
              <Show when={count() > 0}>
                <button type="button" class="quiet" onClick={() => setSketch({ ...s(), places: s().places.slice(0, -1) })}>
                  Take the last back
                </button>
                <button type="button" class="main" onClick={() => endSketch(drawingControl()?.view().px_per_mm ?? 1)}>
                  That is it
                </button>
              </Show>
              <button type="button" class="quiet" onClick={giveUp}>
                Give up
              </button>
            </span>
          </div>
        );
      }}
    </Show>
  );
}
