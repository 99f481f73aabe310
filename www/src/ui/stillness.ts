import { useEffect, useMemo, useState } from 'preact/hooks';

/** Whether the reader asks for stillness; asked anew when the setting changes. */
export function useStillness(): boolean {
  const asked = useMemo(() => matchMedia('(prefers-reduced-motion: reduce)'), []);
  const [still, setStill] = useState(asked.matches);
  useEffect(() => {
    const heard = (): void => setStill(asked.matches);
    asked.addEventListener('change', heard);
    return () => asked.removeEventListener('change', heard);
  }, [asked]);
  return still;
}
