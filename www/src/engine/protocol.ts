/** Types of what crosses between page and workers: all of them come from the Rust, see `calls.ts`. */
export type * from '../../generated/types.ts';
