// A photo of a board: the maker puts four squares on its corners, the program makes the board's picture of it.
import { For, Show, createSignal, onCleanup, onMount } from "solid-js";
import { changesFromHere, say, settled } from "../bench";
import { Told } from "../column/Told";
import type { Place } from "../protocol";
import { server } from "../server";
import { Grip } from "./Grip";
import { Minds } from "./Minds";
import { forget, leavePhoto, made, makePicture, sizeOf, why, working, type BoardPhoto, type Corners } from "./boardPhoto";

const names = ["Near left corner", "Near right corner", "Far right corner", "Far left corner"];

export function BoardPhotoView(props: { photo: BoardPhoto }) {
  let dialog!: HTMLDialogElement;
  const [natural, setNatural] = createSignal<[number, number] | null>(null);
  const [corners, setCorners] = createSignal<Corners | null>(null);
  const address = URL.createObjectURL(props.photo.file);
  onMount(() => {
    dialog.showModal();
    const image = new Image();
    image.onload = () => {
      const [w, h] = [image.naturalWidth, image.naturalHeight];
      setCorners([
        [Math.round(0.08 * w), Math.round(0.62 * h)],
        [Math.round(0.92 * w), Math.round(0.62 * h)],
        [Math.round(0.92 * w), Math.round(0.38 * h)],
        [Math.round(0.08 * w), Math.round(0.38 * h)],
      ]);
      // The picture is drawn with its corners: they come first.
      setNatural([w, h]);
    };
    image.src = address;
  });
  onCleanup(() => URL.revokeObjectURL(address));
  function put(i: number, at: Place): void {
    const now = corners();
    if (!now) return;
    setCorners(now.map((p, k) => (k === i ? at : p)) as Corners);
    forget();
  }
  return (
    <dialog
      ref={dialog}
      class="picture-view"
      aria-label={`A photo of ${props.photo.board.name.value}`}
      onCancel={(e) => {
        e.preventDefault();
        leavePhoto();
      }}
    >
      <section class="sight" aria-label="The photo">
        <Show when={natural()}>{(size) => <Sight address={address} size={size()} corners={corners()!} put={put} />}</Show>
        <p class="key aside">Drag the numbered squares onto the corners of the board, or move them with the arrow keys: 1 near left, 2 near right, 3 far right, 4 far left, as it lies on your bench.</p>
      </section>
      <Beside photo={props.photo} corners={corners()} />
    </dialog>
  );
}

function Sight(props: { address: string; size: [number, number]; corners: Corners; put: (i: number, at: Place) => void }) {
  const [moving, setMoving] = createSignal<{ i: number; at: Place } | null>(null);
  const at = (i: number): Place => (moving()?.i === i ? moving()!.at : props.corners[i]!);
  /** A length on the screen of about one thousandth of the photo's width. */
  const unit = () => props.size[0] / 1000;
  const points = () => [0, 1, 2, 3].map((i) => at(i).join(",")).join(" ");
  return (
    <svg class="over" viewBox={`0 0 ${props.size[0]} ${props.size[1]}`} role="group" aria-label="The photo with the corners of the board">
      <image href={props.address} width={props.size[0]} height={props.size[1]} preserveAspectRatio="none" />
      <polygon class="casing" points={points()} stroke-width={unit() * 5} />
      <polygon class="line" points={points()} stroke-width={unit() * 2} />
      <For each={names}>
        {(name, i) => (
          <>
            <text class="corner" x={at(i())[0]} y={at(i())[1]} dy={i() < 2 ? "1.6em" : "-0.9em"} font-size={String(unit() * 24)}>
              {i() + 1}
            </text>
            <Grip
              name={name}
              at={props.corners[i()]}
              unit={unit()}
              limits={props.size}
              moving={(p) => setMoving({ i: i(), at: p })}
              put={(p) => {
                setMoving(null);
                props.put(i(), p);
              }}
            />
          </>
        )}
      </For>
      <Show when={why()?.at}>{(p) => <circle class="trouble" cx={p()[0]} cy={p()[1]} r={unit() * 16} stroke-width={unit() * 3} />}</Show>
    </svg>
  );
}

function Beside(props: { photo: BoardPhoto; corners: Corners | null }) {
  const { refused, make } = changesFromHere();
  const board = () => props.photo.board;
  let length!: HTMLInputElement;
  let width!: HTMLInputElement;
  let above!: HTMLInputElement;
  function begin(e: SubmitEvent): void {
    e.preventDefault();
    if (props.corners) void makePicture(props.corners, { length: length.value.trim(), width: width.value.trim(), above: above.value.trim() });
  }
  function use(): void {
    const view = made();
    if (!view) return;
    void make([{ set: `${board().pointer}/picture`, value: view.picture }], () => {
      say(`${board().name.value} has its picture.`);
      leavePhoto();
    });
  }
  return (
    <section class="beside" aria-label="What the board measures, and its picture">
      <h2>The picture of {board().name.value}</h2>
      <p class="aside">With printed marks in the photo, on the bench on both sides of the board, the scale is measured and the lens mended. Without marks its length and width decide.</p>
      <form class="wishes" onSubmit={begin}>
        <p class="row">
          <label>
            <span>By the tape it is</span> <input ref={length} class="length" type="text" value={sizeOf(board(), "length")} aria-label="length of the board by the tape" onInput={forget} />
          </label>
          <label>
            <span>long and</span> <input ref={width} class="length" type="text" value={sizeOf(board(), "width")} aria-label="width of the board by the tape" onInput={forget} />
          </label>
          <span>wide</span>
        </p>
        <p class="row">
          <label>
            <span>Its face lies above the marks by</span> <input ref={above} class="length" type="text" placeholder={`0 ${settled()?.unit ?? "mm"}`} onInput={forget} />
          </label>
        </p>
        <p class="presses">
          <button type="submit" classList={{ main: !made() }} disabled={working() || !props.corners}>
            Make the picture
          </button>
        </p>
      </form>
      <div aria-live="polite">
        <Show when={working()}>
          <p class="aside">Being made …</p>
        </Show>
        <Show when={why()}>
          {(fault) => (
            <div class="notice refused" role="alert">
              <p>
                <b>{fault().says}</b> {fault().remedy}
              </p>
            </div>
          )}
        </Show>
        <Show when={made()}>
          {(view) => (
            <div class="findings">
              <img class="made" src={server.boardPictureAddress(view().picture)} alt={`${board().name.value} from above`} />
              <ul>
                <For each={view().says}>{(says) => <li>{says}</li>}</For>
              </ul>
              <Minds minds={view().minds} />
            </div>
          )}
        </Show>
      </div>
      <div class="use">
        <Told problem={refused()} />
        <p class="presses">
          <button type="button" classList={{ main: !!made() }} disabled={!made()} onClick={use}>
            Use this picture
          </button>
          <button type="button" class="quiet" onClick={leavePhoto}>
            Leave it
          </button>
        </p>
      </div>
    </section>
  );
}
