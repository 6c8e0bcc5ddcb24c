// SPDX-License-Identifier: Apache-2.0
export function SheetsView() {
  return <p>…</p>;
}
