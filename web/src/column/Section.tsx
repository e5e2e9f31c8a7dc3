// A cross-section of a step: template, guide, cutter and wood as seen along the seam.
import { Index, Show } from "solid-js";
import type { Section as SectionData } from "../protocol";

export function Section(props: { section: SectionData; width: number; large?: boolean; says: string }) {
  const across = () => Math.max(props.section.box[2] - props.section.box[0], 1);
  const up = () => Math.max(props.section.box[3] - props.section.box[1], 1);
  const scale = () => props.width / across();
  const height = () => Math.ceil(up() * scale());
  const x = (at: number): number => (at - props.section.box[0]) * scale();
  const y = (at: number): number => (props.section.box[3] - at) * scale();
  return (
    <svg class="section" classList={{ large: props.large ?? false }} width={props.width} height={height()} viewBox={`0 0 ${props.width} ${height()}`} role="img" aria-label={props.says}>
      <g transform={`matrix(${scale()} 0 0 ${-scale()} ${-props.section.box[0] * scale()} ${props.section.box[3] * scale()})`}>
        <Index each={props.section.shapes}>
          {(shape) => (
            <path class={`shape ${shape().what}`} d={shape().d}>
              <title>{shape().says}</title>
            </path>
          )}
        </Index>
      </g>
      <path class="seam-line" d={`M${x(props.section.seam_at)} 0V${height()}`} />
      <Show when={props.large}>
        <g class="dimensions">
          <Index each={props.section.dimensions}>
            {(dimension) => {
              const a = () => [x(dimension().from[0]), y(dimension().from[1])] as const;
              const b = () => [x(dimension().to[0]), y(dimension().to[1])] as const;
              const level = () => Math.abs(a()[1] - b()[1]) < Math.abs(a()[0] - b()[0]);
              const middle = () => [(a()[0] + b()[0]) / 2, (a()[1] + b()[1]) / 2] as const;
              const tick = (at: readonly [number, number]) => (level() ? `M${at[0]} ${at[1] - 5}v10` : `M${at[0] - 5} ${at[1]}h10`);
              return (
                <>
                  <path d={`M${a()[0]} ${a()[1]}L${b()[0]} ${b()[1]}${tick(a())}${tick(b())}`} />
                  <text
                    x={level() ? Math.min(Math.max(middle()[0], 34), props.width - 34) : middle()[0] + (middle()[0] > props.width - 80 ? -8 : 8)}
                    y={level() ? Math.max(middle()[1] - 7, 14) : middle()[1] + 5}
                    text-anchor={level() ? "middle" : middle()[0] > props.width - 80 ? "end" : "start"}
                  >
                    {dimension().says}
                  </text>
                </>
              );
            }}
          </Index>
        </g>
      </Show>
    </svg>
  );
}
