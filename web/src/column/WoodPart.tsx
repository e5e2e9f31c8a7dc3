// Which piece comes from which board, drawn to one scale, and how the top moves over the year.
import { For, Show, onCleanup, onMount } from "solid-js";
import { WoodPattern } from "../drawing/wood";
import type { BoardView } from "../protocol";
import { server } from "../server";
import { FinishedTop } from "./FinishedTop";
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
        <Show when={props.board.lacks}>
          <br />
          {props.board.lacks}
        </Show>
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
          <For each={props.board.parts}>
            {(part) => (
              <>
                <Show when={props.board.picture}>
                  <path class="board-halo" d={part.sawn} />
                  <path class="board-halo" d={part.finished} />
                </Show>
                <path class="board-sawn" d={part.sawn} />
                <path class="board-piece" classList={{ pictured: !!props.board.picture }} d={part.finished} />
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
              classList={{ pictured: !!props.board.picture }}
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

export function WoodPart() {
  onMount(() => watchWood(1));
  onCleanup(() => watchWood(-1));
  const longest = () => Math.max(1, ...(wood()?.boards.map((b) => b.length) ?? []));
  return (
    <Show when={wood()} fallback={<p class="none">Being worked out …</p>}>
      {(view) => (
        <div class="closing">
          <FinishedTop view={view().finished} />
          <Show when={view().boards.length > 0}>
            <For each={view().boards}>{(board, i) => <Board board={board} index={i()} longest={longest()} />}</For>
            <p class="none">Dashed: sawn roughly. Full: the finished edge. Dark spots: knots and the like.</p>
          </Show>
          <Show when={view().placing.length === 0}>
            <p class="none">There are no boards on the shelf of this job yet.</p>
          </Show>
          <ToldParts parts={[...view().placing, ...view().year]} />
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
