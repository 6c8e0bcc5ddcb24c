// SPDX-License-Identifier: Apache-2.0
/// <reference types="vite/client" />
