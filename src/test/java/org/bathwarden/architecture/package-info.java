/** The rules of the house, held by tests: rooms and arrows, a pure core, who may build a writer. */
@NullMarked
package org.bathwarden.architecture;

import org.jspecify.annotations.NullMarked;
