/**
 * What deserves a person's attention and how it is followed until it is over: the alarm catalogue
 * and the life cycle of IEC 62682, as a pure function of what a pass found. May use {@code tank}
 * only.
 */
@NullMarked
package org.bathwarden.alarm;

import org.jspecify.annotations.NullMarked;
