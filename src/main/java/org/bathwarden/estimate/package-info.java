/**
 * What is in the tank and how sure that is: a filter over alkalinity, volume and the constants
 * nobody knows exactly, with history, late entries and titrations weighed by how they are made.
 */
@NullMarked
package org.bathwarden.estimate;

import org.jspecify.annotations.NullMarked;
