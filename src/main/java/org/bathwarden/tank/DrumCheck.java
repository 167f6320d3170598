package org.bathwarden.tank;

import java.time.LocalDate;
import java.util.Optional;

/**
 * How it was made sure that a drum holds what the sheet names: by its scanned label, or by a second
 * person who read it too.
 *
 * @param expiresOn last day on which the lot may be used
 * @param scan text of the label as scanned, if it was
 * @param checkedBy the second person, if there was one
 */
public record DrumCheck(LocalDate expiresOn, Optional<String> scan, Optional<String> checkedBy) {}
