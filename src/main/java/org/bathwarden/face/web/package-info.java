/**
 * The HTTP face: health, metrics, and entries from the controller's own machine. Binds to loopback
 * unless configured, starts after the first scan.
 */
@NullMarked
package org.bathwarden.face.web;

import org.jspecify.annotations.NullMarked;
