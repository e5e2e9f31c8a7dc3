// The finished top seen from above: each piece filled with the wood it is sawn from. All of it is the program's.
import { For, Show } from "solid-js";
import type { FinishedView, PatchView } from "../protocol";
import { server } from "../server";

export function FinishedTop(props: { view: FinishedView }) {
  const box = () => props.view.box;
  const pad = () => 0.004 * (box()[2] - box()[0]);
  return (
    <Show when={props.view.patches.length > 0}>
      <figure class="board finished">
        <figcaption>
          <b>The finished top</b>
        </figcaption>
        <svg
          role="img"
          aria-label={`The finished top: ${props.view.patches.map((p) => p.name).join(", ")}`}
          viewBox={`${box()[0] - pad()} ${-box()[3] - pad()} ${box()[2] - box()[0] + 2 * pad()} ${box()[3] - box()[1] + 2 * pad()}`}
        >
          <g transform="scale(1 -1)">
            <For each={props.view.patches}>{(patch, i) => <Patch patch={patch} id={`patch-${i()}`} />}</For>
            <path class="finished-seam" d={props.view.seams} />
            <path class="finished-edge" d={props.view.outline} />
          </g>
        </svg>
        <For each={props.view.says}>{(says) => <p class="none">{says}</p>}</For>
      </figure>
    </Show>
  );
}

function Patch(props: { patch: PatchView; id: string }) {
  return (
    <>
      <clipPath id={props.id}>
        <path d={props.patch.clip} clip-rule="evenodd" />
      </clipPath>
      <Show when={props.patch.within}>
        <clipPath id={`${props.id}-within`}>
          <path d={props.patch.within} />
        </clipPath>
      </Show>
      <g clip-path={props.patch.within ? `url(#${props.id}-within)` : undefined}>
        <g clip-path={`url(#${props.id})`}>
          <path d={props.patch.clip} fill={props.patch.ground} fill-rule="evenodd" />
          <g transform={props.patch.lies}>
            <Show when={props.patch.picture}>
              {(name) => <image href={server.boardPictureAddress(name())} width={props.patch.length} height={props.patch.width} preserveAspectRatio="none" transform={`translate(0 ${props.patch.width}) scale(1 -1)`} />}
            </Show>
            <For each={props.patch.figure}>{(lines) => <path d={lines.d} fill="none" stroke={props.patch.line} stroke-width={lines.width} stroke-linejoin="round" />}</For>
          </g>
        </g>
      </g>
      <path class="finished-joint" d={props.patch.joints} />
    </>
  );
}
