/** Figures about the service and its tanks, as Prometheus reads them. */
@NullMarked
package org.bathwarden.face.metrics;

import org.jspecify.annotations.NullMarked;
