import { later } from '../../ui/Later.tsx';

export const NextSteps = later('What comes next', async () => (await import('./NextSteps.tsx')).NextSteps);
