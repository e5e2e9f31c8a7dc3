// How the router is fed along the edges: each piece from above, strokes with their numbers beside its edges.
import { For } from "solid-js";
import { WoodPattern } from "../drawing/wood";
import type { FeedMapView } from "../protocol";

function FeedMap(props: { map: FeedMapView; index: number }) {
  const id = () => `feed-wood-${props.index}`;
  const box = () => props.map.box;
  const u = () => props.map.unit;
  return (
    <figure class="board feed">
      <figcaption>
        <b>{props.map.piece}</b> along {props.map.edges.map((edge) => edge.name).join(" and ")}
      </figcaption>
      <svg
        role="img"
        aria-label={`${props.map.piece}: ${props.map.edges.map((edge) => `${edge.strokes.length} strokes along ${edge.name}`).join(", ")}; told below`}
        viewBox={`${box()[0]} ${-box()[3]} ${box()[2] - box()[0]} ${box()[3] - box()[1]}`}
      >
        <defs>
          <WoodPattern id={id()} wood={props.map.wood} grain_degrees={props.map.grain_degrees} />
        </defs>
        <g transform="scale(1 -1)">
          <path class="feed-piece" fill-rule="evenodd" d={props.map.outline} style={{ fill: `url(#${id()})` }} />
          <For each={props.map.edges}>
            {(edge) => (
              <>
                <For each={edge.zones}>
                  {(zone) => (
                    <>
                      <path class={`feed-zone ${zone.zone}`} d={zone.d} />
                      <path class="feed-cross under" d={zone.crosses} />
                      <path class="feed-cross" d={zone.crosses} />
                    </>
                  )}
                </For>
                <For each={edge.strokes}>
                  {(stroke) => (
                    <>
                      <path class={`feed-stroke ${stroke.way}`} d={stroke.d} />
                      <path class="feed-head" d={stroke.heads} />
                      <circle class={`feed-number ${stroke.way}`} cx={stroke.label[0]} cy={stroke.label[1]} r={7 * u()} />
                    </>
                  )}
                </For>
              </>
            )}
          </For>
        </g>
        <For each={props.map.edges}>
          {(edge) => (
            <For each={edge.strokes}>
              {(stroke) => (
                <text class="feed-text" x={stroke.label[0]} y={-stroke.label[1]} font-size={`${10.5 * u()}`} text-anchor="middle" dominant-baseline="central">
                  {stroke.number}
                </text>
              )}
            </For>
          )}
        </For>
      </svg>
    </figure>
  );
}

export function FeedMaps(props: { maps: FeedMapView[] }) {
  return (
    <>
      <For each={props.maps}>{(map, i) => <FeedMap map={map} index={i()} />}</For>
      <p class="none">
        Arrows go as the router goes, numbers in the order of the strokes of an edge. Full: conventional. Dashed: no more than a
        skim. Dashed with two heads: that skim as a climb cut. Crosses on a heavy edge: expected to tear. Dashed edge: feed slowly.
      </p>
    </>
  );
}
