// SPDX-License-Identifier: Apache-2.0
export function ChecksView() {
  return <p>…</p>;
}
