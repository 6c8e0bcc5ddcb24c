// SPDX-License-Identifier: Apache-2.0
//
// What there is to choose from: patterns, yards and saw blades.
import { computed, effect, signal } from '@preact/signals';
import { api } from '../api/client';
import type { Blades, Pattern, Yard } from '../api/types';
import { catalogue, units } from '../job/store';

export const patterns = signal<Pattern[]>([]);
export const yards = signal<Yard[]>([]);
export const blades = signal<Blades | null>(null);
export const yard = computed(() => yards.value.find((each) => each.name === catalogue.value) ?? null);

export function fillShelves(): void {
  effect(() => {
    const asked = `${units.value} ${catalogue.value}`;
    void api.patterns(units.value, catalogue.value).catch(() => api.patterns(units.peek(), '')).then((found) => {
      if (asked === `${units.peek()} ${catalogue.peek()}`) patterns.value = found;
    }, () => undefined);
  });
  void api.blades().then((found) => (blades.value = found), () => undefined);
  void api.yards().then((found) => (yards.value = found), () => undefined);
}
