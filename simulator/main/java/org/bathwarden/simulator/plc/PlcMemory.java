package org.bathwarden.simulator.plc;

import org.bathwarden.simulator.field.Actuators;

/**
 * All that can be known of one tank in the PLC after a scan.
 *
 * @param image what it shows
 * @param written what it copied at the start of the scan
 * @param outputs what it drives
 * @param cutOff whether the independent cut-off has opened (fault 5 stands)
 */
public record PlcMemory(PlcImage image, WrittenItems written, Actuators outputs, boolean cutOff) {}
