/**
 * How much of what, whether it may be dosed, and the life of an order: need, plan, interlocks,
 * order.
 */
@NullMarked
package org.bathwarden.dosing;

import org.jspecify.annotations.NullMarked;
