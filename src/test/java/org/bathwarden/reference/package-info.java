/** Published values from outside the project, read from {@code src/test/resources/reference}. */
@NullMarked
package org.bathwarden.reference;

import org.jspecify.annotations.NullMarked;
