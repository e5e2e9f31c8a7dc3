// How a piece is drawn: a flat tone and a quiet figure along the grain.
import { For } from "solid-js";
import type { Wood } from "../protocol";

// One tile of the figure, mm: long easy waves that meet themselves at both ends of the tile. The distances between the lines
// differ, so that the repeat is not seen.
const tile_length_mm = 520;
const tile_height_mm = 118;
const lines: { y: number; swing: number; weight: number }[] = [
  { y: 6, swing: 3, weight: 1.1 },
  { y: 17, swing: 5, weight: 0.7 },
  { y: 23, swing: 4, weight: 1.6 },
  { y: 38, swing: -4, weight: 0.8 },
  { y: 52, swing: -6, weight: 1.3 },
  { y: 59, swing: -5, weight: 0.6 },
  { y: 74, swing: 3, weight: 1.8 },
  { y: 83, swing: 4, weight: 0.7 },
  { y: 97, swing: -3, weight: 1.2 },
  { y: 109, swing: -2, weight: 0.7 },
];
const course = (y: number, swing: number): string => {
  const l = tile_length_mm;
  return `M0 ${y}C${l * 0.18} ${y} ${l * 0.2} ${y + swing} ${l * 0.36} ${y + swing}S${l * 0.6} ${y - swing * 0.7} ${l * 0.74} ${y - swing * 0.7}S${l * 0.86} ${y} ${l} ${y}`;
};

export function WoodPattern(props: { id: string; wood: Wood; grain_degrees: number }) {
  return (
    <pattern
      id={props.id}
      patternUnits="userSpaceOnUse"
      width={tile_length_mm}
      height={tile_height_mm}
      patternTransform={`rotate(${props.grain_degrees})`}
    >
      <rect class={`ground wood-${props.wood}`} width={tile_length_mm} height={tile_height_mm} />
      <For each={lines}>
        {(line) => <path class={`figure wood-${props.wood}`} d={course(line.y, line.swing)} stroke-width={line.weight} />}
      </For>
    </pattern>
  );
}
