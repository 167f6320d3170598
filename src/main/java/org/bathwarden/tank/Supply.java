package org.bathwarden.tank;

/**
 * Name of a pump, meter or drum that may serve several tanks.
 *
 * @param name unique on a site
 */
public record Supply(String name) {}
