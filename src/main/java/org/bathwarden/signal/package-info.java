/**
 * Raw readings become trusted signals: range, rate, frozen and stale values, sensor calibration,
 * temperature compensation.
 */
@NullMarked
package org.bathwarden.signal;

import org.jspecify.annotations.NullMarked;
