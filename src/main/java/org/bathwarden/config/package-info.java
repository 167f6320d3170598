/**
 * From YAML to the settings records of each room. All problems are found at once, each with file,
 * line, path, the value found and what is allowed.
 */
@NullMarked
package org.bathwarden.config;

import org.jspecify.annotations.NullMarked;
