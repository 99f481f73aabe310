import { ofDay } from '../../steps/list.ts';
import { amounts, setShop, shop, SHOP_LIMITS } from '../../steps/shop.ts';
import { useDraft } from '../../ui/draft.ts';
import { conversion, units, worded } from '../../store/settings.ts';
import { readNumber } from '../../ui/numbers.ts';

/** Settings of the room and the day. They are stored in this browser, not in the plan. */
export function ShopEntries({ ends_s }: { ends_s: number }) {
  const { begin_min, between_min, floor_cm: [wide, deep], impressions } = shop.value;
  const us = units.value === 'us';
  const { unit, to, from } = conversion('cm', 1);
  const floor = (cm: number): number => (us ? Math.round(to(cm)) : cm);
  const cm = (shown: number): number => (us ? Number(from(shown).toFixed(1)) : shown);
  return (
    <form class="shop" aria-label="For this day and this shop" onSubmit={(event) => event.preventDefault()}>
      <label>Begin at <input type="time" value={ofDay(begin_min, 0, 'metric')} required onInput={(event) => {
        const [h, m] = event.currentTarget.value.split(':').map(Number);
        if (h !== undefined && m !== undefined && Number.isFinite(h * 60 + m)) setShop({ begin_min: h * 60 + m });
      }} /></label>
      <Figure label="Between bites" unit="min" value={between_min} limits={SHOP_LIMITS.between_min} onSet={(x) => setShop({ between_min: x })} />
      <span class="shop-floor">
        <Figure label="Floor of the dust box" value={floor(wide)} limits={SHOP_LIMITS.floor_cm} onSet={(x) => setShop({ floor_cm: [cm(x), deep] })} />
        <Figure label="×" spoken="Floor of the dust box, depth" unit={unit} value={floor(deep)} limits={SHOP_LIMITS.floor_cm} onSet={(x) => setShop({ floor_cm: [wide, cm(x)] })} />
      </span>
      <Figure label="Ink for" unit={impressions === 1 ? 'impression' : 'impressions'} value={impressions} limits={SHOP_LIMITS.impressions} onSet={(x) => setShop({ impressions: Math.round(x) })} />
      {amounts.value?.box_too_small && <p class="problem" role="status">{worded(amounts.value.box_too_small)}</p>}
      <p class="unit">Ends about {ofDay(begin_min, ends_s, units.value)}. These stay in this browser; the plan is not changed.</p>
    </form>
  );
}

interface FigureProps { label: string; spoken?: string; unit?: string; value: number; limits: readonly [number, number]; onSet: (value: number) => void }

function Figure({ label, spoken, unit, value, limits: [least, most], onSet }: FigureProps) {
  // What is being typed stands, whatever else of the sheet comes in meanwhile.
  const [typed, setTyped] = useDraft(value);
  return (
    <label>
      {label}{' '}
      <input inputMode="decimal" autocomplete="off" aria-label={spoken ?? `${label}${unit ? `, ${unit}` : ''}`} value={typed ?? value} onFocus={(event) => event.currentTarget.select()}
        onInput={(event) => setTyped(event.currentTarget.value)}
        onChange={(event) => {
          setTyped(null);
          const number = readNumber(event.currentTarget.value);
          if (Number.isFinite(number)) onSet(Math.min(most, Math.max(least, number)));
        }} />
      {unit && <span class="unit"> {unit}</span>}
    </label>
  );
}
