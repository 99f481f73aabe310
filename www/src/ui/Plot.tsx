import type { ComponentChildren } from 'preact';
import { useId } from 'preact/hooks';
import { FRAME, type Frame, type Scale } from './ticks.ts';

interface Props {
  title: string;
  /** What the plot shows, for those who don't see it. */
  description: string;
  x: Scale; y: Scale;
  xTicks: number[]; yTicks: number[];
  xName: string; yName: string;
  frame?: Frame;
  children: ComponentChildren;
  /** Plots with handles are groups, the others pictures. */
  live?: boolean;
  class?: string;
}

const tidy = (v: number): string => String(Number(v.toPrecision(6)));

/** Axes and ruled lines; what is plotted goes inside. Prints as lines and real text. */
export function Plot({ title, description, x, y, xTicks, yTicks, xName, yName, frame = FRAME, children, live = false, class: extra = '' }: Props) {
  const id = useId();
  const floor = frame.height - frame.bottom;
  const end = frame.width - frame.right;
  return (
    <svg class={`plot ${extra}`} viewBox={`0 0 ${frame.width} ${frame.height}`} role={live ? 'group' : 'img'}
      aria-labelledby={`${id}t`} aria-describedby={`${id}d`}>
      <title id={`${id}t`}>{title}</title>
      <desc id={`${id}d`}>{description}</desc>
      <g class="plot-ruled" aria-hidden="true">
        {yTicks.map((v) => <line key={v} x1={frame.left} x2={end} y1={y(v)} y2={y(v)} />)}
        <line class="plot-axis" x1={frame.left} x2={end} y1={floor} y2={floor} />
        {xTicks.map((v) => <line class="plot-axis" key={v} x1={x(v)} x2={x(v)} y1={floor} y2={floor + 3.5} />)}
      </g>
      <g class="plot-words" aria-hidden="true">
        {yTicks.map((v) => <text key={v} x={frame.left - 5} y={y(v) + 3.5} text-anchor="end">{tidy(v)}</text>)}
        {xTicks.map((v) => <text key={v} x={x(v)} y={floor + 14} text-anchor="middle">{tidy(v)}</text>)}
        <text class="plot-name" x={end} y={frame.height - 4} text-anchor="end">{xName}</text>
        <text class="plot-name" x={0} y={frame.height - 4}>{yName}</text>
      </g>
      {children}
    </svg>
  );
}
