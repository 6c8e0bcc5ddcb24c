// SPDX-License-Identifier: Apache-2.0

/// "EUR 412.50".
export function money(minor: number, currency: string, minorDigits = 2): string {
  return `${currency} ${(minor / 10 ** minorDigits).toFixed(minorDigits)}`;
}

export function kilograms(kg: number): string {
  return `${kg < 10 ? kg.toFixed(1) : Math.round(kg)} kg`;
}

export function percent(share: number): string {
  return `${Math.round(share * 100)} %`;
}

/// "side_overhang" -> "side overhang".
export function words(name: string): string {
  return name.replace(/_/g, ' ');
}

export function significant(value: number): string {
  if (value === 0) return '0';
  const digits = Math.max(0, 2 - Math.floor(Math.log10(Math.abs(value))));
  return value.toFixed(Math.min(digits, 3));
}
