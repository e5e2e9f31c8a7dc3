// Which piece comes from which board, drawn to one scale, and how the top moves over the year.
import { For, Show, createEffect, createSignal, on, onCleanup, onMount } from "solid-js";
import { WoodPattern } from "../drawing/wood";
import type { BoardView, RoughView, WoodView } from "../protocol";
import { server } from "../server";
import { FinishedTop } from "./FinishedTop";
import { lastWood, watchWood, wood } from "../wood";
import { BoardTools, PartTools } from "./BoardTools";
import { chosen, draws, held, keyOf, line, nudge, press, putDown, take } from "./boardWork";
import { ToldParts } from "./ToldParts";

/** All boards to the scale of the longest. y runs up in what the program sends. */
function Board(props: { board: BoardView; index: number; longest: number; large: boolean }) {
  const id = () => `board-wood-${props.index}`;
  const pad = () => props.longest * 0.004;
  const inHand = (key: string): string => {
    const now = held();
    return now?.key === key ? `translate(${now.by[0]} ${now.by[1]})` : "";
  };
  const drawn = () => {
    const now = line();
    return now?.board === props.board.name ? now.through : [];
  };
  const written = () => Math.min(props.longest * (props.large ? 0.014 : 0.034), props.board.width * 0.5);
  return (
    <figure class="board">
      <figcaption>
        <b>{props.board.name}</b> {props.board.size}
        <Show when={props.board.lacks}>
          <br />
          {props.board.lacks}
        </Show>
      </figcaption>
      <svg
        role="group"
        data-board={props.board.name}
        classList={{ draws: draws() !== null }}
        onClick={(e) => press(e, props.board)}
        aria-label={`${props.board.name}: ${props.board.parts.map((p) => p.name).join(", ")}`}
        viewBox={`${-pad()} ${-props.board.width - pad()} ${props.longest + 2 * pad()} ${props.board.width + 2 * pad()}`}
      >
        <defs>
          <WoodPattern id={id()} wood={props.board.wood} grain_degrees={props.board.grain_degrees} />
        </defs>
        <g transform="scale(1 -1)">
          <path class="board-edge" d={props.board.outline} fill={`url(#${id()})`} />
          <Show when={props.board.picture}>
            {(name) => (
              <>
                <clipPath id={`${id()}-clip`}>
                  <path d={props.board.outline} />
                </clipPath>
                <g clip-path={`url(#${id()}-clip)`}>
                  <image href={server.boardPictureAddress(name())} width={props.board.length} height={props.board.width} preserveAspectRatio="none" transform={`translate(0 ${props.board.width}) scale(1 -1)`} />
                </g>
                <path class="board-edge" d={props.board.outline} fill="none" />
              </>
            )}
          </Show>
          <path class="board-fibres" d={props.board.fibres} />
          <For each={props.board.parts}>
            {(part) => (
              <g
                class="board-part"
                classList={{ picked: chosen() === keyOf(part), "by-hand": part.by_hand }}
                transform={inHand(keyOf(part))}
                role="button"
                tabindex="0"
                aria-label={`${part.name}${part.by_hand ? ", laid by hand" : ""}`}
                aria-pressed={chosen() === keyOf(part)}
                onPointerDown={(e) => take(e, part, props.board)}
                onKeyDown={(e) => nudge(e, part, props.board)}
              >
                <Show when={props.board.picture}>
                  <path class="board-halo" d={part.sawn} />
                  <path class="board-halo" d={part.finished} />
                </Show>
                <path class="board-sawn" d={part.sawn} />
                <path class="board-piece" classList={{ pictured: !!props.board.picture }} d={part.finished} />
              </g>
            )}
          </For>
          <For each={props.board.spots}>
            {(spot) => (
              <path class="board-spot" d={spot.outline}>
                <title>{spot.says}</title>
              </path>
            )}
          </For>
          <polyline class="board-line" points={drawn().join(" ")} />
          <For each={drawn()}>{(p) => <circle class="board-place" cx={p[0]} cy={p[1]} r={props.longest * 0.003} />}</For>
        </g>
        <For each={props.board.parts}>
          {(part) => (
            <text
              class="board-name"
              classList={{ pictured: !!props.board.picture }}
              x={part.at[0]}
              y={-part.at[1]}
              text-anchor="middle"
              dominant-baseline="central"
              font-size={`${Math.min(written(), (1.7 * part.room) / part.name.length)}`}
              transform={held()?.key === keyOf(part) ? `translate(${held()!.by[0]} ${-held()!.by[1]})` : ""}
            >
              {part.by_hand ? `${part.name}, held` : part.name}
            </text>
          )}
        </For>
      </svg>
      <PartTools board={props.board} />
    </figure>
  );
}

/** One piece as it is sawn and routed, as it lies in the top. */
function Rough(props: { piece: RoughView; index: number }) {
  const id = () => `rough-wood-${props.index}`;
  const width = () => props.piece.box[2] - props.piece.box[0];
  const pad = () => width() * 0.01;
  // A screw is drawn large enough to be seen.
  const arm = () => Math.max(4, width() * 0.006) * Math.SQRT1_2;
  return (
    <figure class="board">
      <figcaption>
        <b>{props.piece.name}</b> rough cut, screws and index marks
      </figcaption>
      <svg
        role="img"
        aria-label={`${props.piece.name}: ${props.piece.told.lines[0] ?? ""}`}
        viewBox={`${props.piece.box[0] - pad()} ${-props.piece.box[3] - pad()} ${width() + 2 * pad()} ${props.piece.box[3] - props.piece.box[1] + 2 * pad()}`}
      >
        <defs>
          <WoodPattern id={id()} wood={props.piece.wood} grain_degrees={props.piece.grain_degrees} />
        </defs>
        <g transform="scale(1 -1)">
          <path class="board-sawn" d={props.piece.sawn} style={{ fill: `url(#${id()})` }} />
          <path class="rough-template" d={props.piece.templates} />
          <path class="board-piece" fill-rule="evenodd" d={props.piece.finished} />
          <path class="rough-saw" d={props.piece.saw} />
          <path class="rough-way" d={props.piece.way} />
          <path class="rough-tools" d={props.piece.tools} />
          <path class="rough-mark" d={props.piece.marks} />
          <For each={props.piece.screws}>
            {(at) => (
              <>
                <circle class="rough-screw" cx={at[0]} cy={at[1]} r={arm() * Math.SQRT2} />
                <path
                  class="rough-screw"
                  d={`M${at[0] - arm()} ${at[1] - arm()}l${2 * arm()} ${2 * arm()}m0 ${-2 * arm()}l${-2 * arm()} ${2 * arm()}`}
                />
              </>
            )}
          </For>
        </g>
      </svg>
    </figure>
  );
}

/** All boards: those that are started, the others folded away. */
function Boards(props: { view: WoodView; large: boolean }) {
  const longest = () => Math.max(1, ...[...props.view.boards, ...props.view.others].map((b) => b.length));
  return (
    <>
      <BoardTools />
      <For each={props.view.boards}>{(board, i) => <Board board={board} index={i()} longest={longest()} large={props.large} />}</For>
      <p class="none">
        Dashed: sawn roughly. Full: the finished edge. Dark spots: knots and the like. Take a piece and lay it where you want it: it
        is held there, and the others give way.
      </p>
      <Show when={props.view.others.length > 0}>
        <details class="more">
          <summary>Boards not started ({props.view.others.length})</summary>
          <For each={props.view.others}>
            {(board, i) => <Board board={board} index={props.view.boards.length + i()} longest={longest()} large={props.large} />}
          </For>
        </details>
      </Show>
    </>
  );
}

/** Over the whole window, for working on the boards. */
function LargeBoards(props: { view: WoodView; close: () => void }) {
  let sheet!: HTMLDialogElement;
  onMount(() => sheet.showModal());
  return (
    <dialog class="boards-large" ref={sheet} aria-label="The boards, large" onClose={() => props.close()}>
      <p class="presses">
        <b>The boards</b>
        <button type="button" onClick={() => sheet.close()}>
          Back to the job
        </button>
      </p>
      <Boards view={props.view} large={true} />
      <For each={props.view.placing.filter((part) => part.cautions.length > 0)}>{(part) => <ToldParts parts={[part]} />}</For>
    </dialog>
  );
}

export function WoodPart() {
  const [large, setLarge] = createSignal(false);
  onMount(() => watchWood(1));
  createEffect(on(wood, (now) => now && putDown()));
  onCleanup(() => watchWood(-1));
  return (
    <Show when={lastWood()} fallback={<p class="none">Being worked out …</p>}>
      {(view) => (
        <div class="closing" classList={{ stale: wood() === null }} aria-busy={wood() === null}>
          <FinishedTop view={view().finished} />
          <Show when={view().boards.length + view().others.length > 0}>
            <p class="presses">
              <button type="button" onClick={() => setLarge(true)}>
                Lay the boards out large
              </button>
            </p>
            <Show when={large()} fallback={<Boards view={view()} large={false} />}>
              <LargeBoards view={view()} close={() => setLarge(false)} />
            </Show>
          </Show>
          <Show when={view().placing.length === 0}>
            <p class="none">There are no boards on the shelf of this job yet.</p>
          </Show>
          <ToldParts parts={view().placing} />
          <For each={view().rough}>
            {(piece, i) => (
              <>
                <Rough piece={piece} index={i()} />
                <ToldParts parts={[piece.told]} />
              </>
            )}
          </For>
          <Show when={view().rough.length > 0}>
            <p class="none">
              Dashed: sawn out of the board. Dotted: sawn along the seam. Full: finished. Thin: the template. Dash and dot: the middle
              of the cutter; circles: cutter and guide where they may start. Circles with a cross: screws. Heavy bars: index marks.
            </p>
          </Show>
          <ToldParts parts={view().year} />
          <For each={view().seasons}>
            {(season) => (
              <figure class="board">
                <figcaption>{season.says}</figcaption>
                <svg
                  role="img"
                  aria-label={season.says}
                  viewBox={`${season.box[0] - 5} ${-season.box[3] - 5} ${season.box[2] - season.box[0] + 10} ${season.box[3] - season.box[1] + 10}`}
                >
                  <g transform="scale(1 -1)">
                    <path class="board-piece" d={season.moved} />
                    <path class="board-sawn" d={season.made} />
                  </g>
                </svg>
              </figure>
            )}
          </For>
        </div>
      )}
    </Show>
  );
}
