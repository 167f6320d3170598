/** Recorded traces: reading their three files and writing what a run over them finds. */
@NullMarked
package org.bathwarden.cli.trace;

import org.jspecify.annotations.NullMarked;
