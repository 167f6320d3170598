/** The commands: one small class each, which reads its arguments and calls the rooms below. */
@NullMarked
package org.bathwarden.cli;

import org.jspecify.annotations.NullMarked;
