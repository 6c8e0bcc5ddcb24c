// SPDX-License-Identifier: Apache-2.0
export function PiecesView() {
  return <p>…</p>;
}
