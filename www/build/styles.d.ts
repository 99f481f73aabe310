// Style sheets are imported for their effect only; the bundler gathers them.
declare module '*.css';
