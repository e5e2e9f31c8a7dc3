// A photo or scans with what was found in them: marks, the line, its ends to be moved, and how far it can be trusted.
import { For, Show, createEffect, createSignal, onCleanup, onMount } from "solid-js";
import { changesFromHere, picture as screenNow, say } from "../bench";
import { choose, seamIndex } from "../choice";
import { Told } from "../column/Told";
import type { Place } from "../protocol";
import { Grip } from "./Grip";
import { Minds } from "./Minds";
import { found, leavePictures, looking, putEnd, why, wish, wishFor } from "./tracing";

export function PictureView(props: { files: File[] }) {
  let dialog!: HTMLDialogElement;
  onMount(() => dialog.showModal());
  return (
    <dialog
      ref={dialog}
      class="picture-view"
      aria-label="A curve from a photo or scans"
      onCancel={(e) => {
        e.preventDefault();
        leavePictures();
      }}
    >
      <section class="sight" aria-label="The picture">
        <Sight files={props.files} />
      </section>
      <section class="beside" aria-label="What is looked for, and what was found">
        <h2>A curve from a {wish().scan ? "scan" : "photo"}</h2>
        <Wishes several={props.files.length > 1} />
        <div aria-live="polite">
          <Show when={looking()}>
            <p class="aside">Looking for the line …</p>
          </Show>
          <Show when={!looking() && why()}>
            {(fault) => (
              <div class="notice refused" role="alert">
                <p>
                  <b>{fault().says}</b> {fault().remedy}
                </p>
              </div>
            )}
          </Show>
          <Show when={!looking()}>
            <Findings />
          </Show>
        </div>
        <Use />
      </section>
    </dialog>
  );
}

/** The first picture, or of several scans the one chosen, with everything found in it. Places are pixels of the picture. */
function Sight(props: { files: File[] }) {
  const [shown, setShown] = createSignal(0);
  const [address, setAddress] = createSignal("");
  const [natural, setNatural] = createSignal<[number, number]>([4, 3]);
  createEffect(() => {
    const file = props.files[Math.min(shown(), props.files.length - 1)];
    if (!file) return;
    const url = URL.createObjectURL(file);
    const image = new Image();
    image.onload = () => setNatural([image.naturalWidth, image.naturalHeight]);
    image.src = url;
    setAddress(url);
    onCleanup(() => URL.revokeObjectURL(url));
  });
  const overlay = () => found()?.pictures[shown()];
  const width = () => overlay()?.width ?? natural()[0];
  const height = () => overlay()?.height ?? natural()[1];
  /** A length on the screen of about one thousandth of the picture's width. */
  const unit = () => width() / 1000;
  const path = () => {
    const line = overlay()?.line ?? [];
    return line.length === 0 ? "" : `M${line.map((p) => p.join(" ")).join("L")}${overlay()?.closed ? "Z" : ""}`;
  };
  const isFirst = () => shown() === 0;
  const isLast = () => shown() === props.files.length - 1;
  return (
    <>
      <Show when={props.files.length > 1}>
        <p class="which" role="group" aria-label="Which scan is shown">
          <For each={props.files}>
            {(file, i) => (
              <button type="button" class="quiet toggle" aria-pressed={shown() === i()} onClick={() => setShown(i())}>
                {file.name}
              </button>
            )}
          </For>
        </p>
      </Show>
      <svg class="over" viewBox={`0 0 ${width()} ${height()}`} role="group" aria-label="The picture with the marks and the line that were found">
        <image href={address()} width={width()} height={height()} preserveAspectRatio="none" />
        <For each={overlay()?.marks}>
          {(mark) => (
            <g class="mark">
              <polygon points={mark.corners.map((p) => p.join(",")).join(" ")} stroke-width={unit() * 2} />
              <text x={middleOf(mark.corners)[0]} y={middleOf(mark.corners)[1]} font-size={String(unit() * 17)} dy="0.35em">
                {mark.id}
              </text>
            </g>
          )}
        </For>
        <path class="casing" d={path()} stroke-width={unit() * 5} />
        <path class="line" d={path()} stroke-width={unit() * 2} />
        <For each={overlay()?.gaps}>{(p) => <circle class="gap" cx={p[0]} cy={p[1]} r={unit() * 9} stroke-width={unit() * 2} />}</For>
        <For each={overlay()?.closed ? [] : (overlay()?.free_ends ?? [])}>
          {(p) => <circle class="free-end" cx={p[0]} cy={p[1]} r={unit() * 4} stroke-width={unit()} />}
        </For>
        <Show when={why()?.at}>
          {(at) => <circle class="trouble" cx={at()[0]} cy={at()[1]} r={unit() * 16} stroke-width={unit() * 3} />}
        </Show>
        <Show when={overlay() && !overlay()?.closed && isFirst()}>
          <Grip put={(at) => putEnd("from", at)} name="Start of the line" at={wish().from ?? overlay()?.line[0]} unit={unit()} limits={[width(), height()]} />
        </Show>
        <Show when={overlay() && !overlay()?.closed && isLast()}>
          <Grip put={(at) => putEnd("to", at)} name="End of the line" at={wish().to ?? overlay()?.line.at(-1)} unit={unit()} limits={[width(), height()]} />
        </Show>
      </svg>
      <p class="key aside">Outlined squares: marks. Thick line: what was traced. Ring: where it was bridged. Small dots: other ends; drag a square handle there, or move it with the arrow keys.</p>
    </>
  );
}

const middleOf = (corners: Place[]): Place => [
  corners.reduce((sum, p) => sum + p[0], 0) / corners.length,
  corners.reduce((sum, p) => sum + p[1], 0) / corners.length,
];

function Wishes(props: { several: boolean }) {
  const taped = () => wish().taped?.[0];
  let from!: HTMLInputElement;
  let to!: HTMLInputElement;
  let apart!: HTMLInputElement;
  function tape(): void {
    if (from.value === "" && to.value === "" && apart.value === "") {
      if (taped()) wishFor({ taped: [] });
      return;
    }
    if (from.value === "" || to.value === "" || apart.value.trim() === "") return;
    wishFor({ taped: [{ from: Number(from.value), to: Number(to.value), apart: apart.value.trim() }] });
  }
  return (
    <form class="wishes" onSubmit={(e) => e.preventDefault()}>
      <fieldset>
        <legend>The picture is</legend>
        <label>
          <input type="radio" name="what" checked={!wish().scan} disabled={props.several} onChange={() => wishFor({ scan: false, from: undefined, to: undefined })} /> a photo with reference marks
        </label>
        <label>
          <input type="radio" name="what" checked={wish().scan} onChange={() => wishFor({ scan: true, from: undefined, to: undefined, taped: [], above: undefined })} /> {props.several ? "flatbed scans, strip after strip" : "a flatbed scan"}
        </label>
      </fieldset>
      <fieldset>
        <legend>Followed is</legend>
        <label>
          <input type="radio" name="kind" checked={!wish().edge} onChange={() => wishFor({ edge: false, from: undefined, to: undefined })} /> a drawn line
        </label>
        <label>
          <input type="radio" name="kind" checked={wish().edge} onChange={() => wishFor({ edge: true, from: undefined, to: undefined })} /> the edge of a template
        </label>
      </fieldset>
      <Show
        when={wish().scan}
        fallback={
          <>
            <p class="row tape">
              <span>By steel tape, from the middle of mark</span>
              <input ref={from} type="number" min="0" max="586" aria-label="number of the first mark" onChange={tape} />
              <span>to mark</span>
              <input ref={to} type="number" min="0" max="586" aria-label="number of the second mark" onChange={tape} />
              <span>it is</span>
              <input ref={apart} type="text" class="length" aria-label="distance between the two marks" placeholder={wish().unit} onChange={tape} />
            </p>
            <p class="row">
              <label>
                <span>The line lies above the marks by</span>{" "}
                <input type="text" class="length" placeholder={`0 ${wish().unit}`} onChange={(e) => wishFor({ above: e.currentTarget.value.trim() || undefined })} />
              </label>
            </p>
          </>
        }
      >
        <p class="row">
          <label>
            <span>Pixels an inch</span>{" "}
            <input type="number" min="75" max="4800" placeholder="as noted" onChange={(e) => wishFor({ per_inch: e.currentTarget.value === "" ? undefined : Number(e.currentTarget.value) })} />
          </label>
        </p>
      </Show>
      <Show when={wish().from ?? wish().to}>
        <p>
          <button type="button" class="quiet" onClick={() => wishFor({ from: undefined, to: undefined, through: [] })}>
            Find the ends by yourself again
          </button>
        </p>
      </Show>
    </form>
  );
}

function Findings() {
  return (
    <Show when={found()}>
      {(view) => (
        <div class="findings">
          <p>
            <b>{view().line}</b>
          </p>
          <dl>
            <dt>Trust it</dt>
            <dd>{view().trust}.</dd>
            <Show when={view().marks}>
              <dt>Marks</dt>
              <dd>{view().marks}.</dd>
            </Show>
            <dt>Picture</dt>
            <dd>{view().picture}.</dd>
          </dl>
          <ul class="uses">
            <For each={view().uses}>
              {(use) => (
                <li class={use.good ? "good" : "not"}>
                  <span aria-hidden="true">{use.good ? "+" : "−"}</span> {use.says}
                </li>
              )}
            </For>
          </ul>
          <Minds minds={view().minds} />
        </div>
      )}
    </Show>
  );
}

function Use() {
  const [name, setName] = createSignal(wish().name.replace(/\.[^.]*$/, ""));
  const [into, setInto] = createSignal("new");
  const { refused, make } = changesFromHere();
  function use(e: SubmitEvent): void {
    e.preventDefault();
    const view = found();
    if (!view) return;
    const target = into() === "new" ? "" : (screenNow()?.seams[seamIndex()]?.pointer ?? "");
    void make([{ trace: target, traced: view.traced, name: name().trim() }], (screen) => {
      if (target === "") choose({ what: "seam", index: screen.seams.length - 1 });
      say("The traced curve was brought in.");
      leavePictures();
    });
  }
  return (
    <form class="use" onSubmit={use}>
      <p class="row">
        <label>
          <span>for</span>{" "}
          <select value={into()} onChange={(e) => setInto(e.currentTarget.value)}>
            <option value="new">a new seam</option>
            <Show when={screenNow()?.seams[seamIndex()]}>{(seam) => <option value="this">{seam().name}</option>}</Show>
          </select>
        </label>
        <Show when={into() === "new"}>
          <label>
            <span>called</span> <input type="text" value={name()} onInput={(e) => setName(e.currentTarget.value)} />
          </label>
        </Show>
      </p>
      <Told problem={refused()} />
      <p class="presses">
        <button type="submit" class="main" disabled={looking() || !found()}>
          Use this curve
        </button>
        <button type="button" class="quiet" onClick={leavePictures}>
          Leave it
        </button>
      </p>
    </form>
  );
}
