/**
 * What a tank is: its chemistry, geometry, limits and the words everybody else uses about it. Uses
 * nothing else of the project.
 */
@NullMarked
package org.bathwarden.tank;

import org.jspecify.annotations.NullMarked;
