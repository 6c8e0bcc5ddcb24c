// SPDX-License-Identifier: Apache-2.0
export function BuildView() {
  return <p>…</p>;
}
