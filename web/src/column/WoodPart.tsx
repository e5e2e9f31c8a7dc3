// Which piece comes from which board, drawn to one scale, and how the top moves over the year.
import { For, Show, onCleanup, onMount } from "solid-js";
import { WoodPattern } from "../drawing/wood";
import type { BoardView, RoughView } from "../protocol";
import { watchWood, wood } from "../wood";
import { ToldParts } from "./ToldParts";

/** All boards to the scale of the longest. y runs up in what the program sends. */
function Board(props: { board: BoardView; index: number; longest: number }) {
  const id = () => `board-wood-${props.index}`;
  const pad = () => props.longest * 0.004;
  const written = () => Math.min(props.longest * 0.034, props.board.width * 0.5);
  return (
    <figure class="board">
      <figcaption>
        <b>{props.board.name}</b> {props.board.size}
      </figcaption>
      <svg
        role="img"
        aria-label={`${props.board.name}: ${props.board.parts.map((p) => p.name).join(", ")}`}
        viewBox={`${-pad()} ${-props.board.width - pad()} ${props.longest + 2 * pad()} ${props.board.width + 2 * pad()}`}
      >
        <defs>
          <WoodPattern id={id()} wood={props.board.wood} grain_degrees={props.board.grain_degrees} />
        </defs>
        <g transform="scale(1 -1)">
          <path class="board-edge" d={props.board.outline} fill={`url(#${id()})`} />
          <For each={props.board.parts}>
            {(part) => (
              <>
                <path class="board-sawn" d={part.sawn} />
                <path class="board-piece" d={part.finished} />
              </>
            )}
          </For>
          <For each={props.board.spots}>
            {(spot) => (
              <path class="board-spot" d={spot.outline}>
                <title>{spot.says}</title>
              </path>
            )}
          </For>
        </g>
        <For each={props.board.parts}>
          {(part) => (
            <text
              class="board-name"
              x={part.at[0]}
              y={-part.at[1]}
              text-anchor="middle"
              dominant-baseline="central"
              font-size={`${Math.min(written(), (1.7 * part.room) / part.name.length)}`}
            >
              {part.name}
            </text>
          )}
        </For>
      </svg>
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

export function WoodPart() {
  onMount(() => watchWood(1));
  onCleanup(() => watchWood(-1));
  const longest = () => Math.max(1, ...(wood()?.boards.map((b) => b.length) ?? []));
  return (
    <Show when={wood()} fallback={<p class="none">Being worked out …</p>}>
      {(view) => (
        <div class="closing">
          <Show when={view().boards.length > 0}>
            <For each={view().boards}>{(board, i) => <Board board={board} index={i()} longest={longest()} />}</For>
            <p class="none">Dashed: sawn roughly. Full: the finished edge. Dark spots: knots and the like.</p>
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
