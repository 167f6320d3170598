package org.bathwarden.face.mqtt;

/**
 * How the MQTT face is doing.
 *
 * @param connected whether there is a connection now
 * @param connects connections since the start
 * @param problem the last problem in words; empty if there was none since the last connect
 * @param statesWaiting retained payloads that the broker was not given yet
 * @param dropped payloads, requests and replies given up because a bound was reached
 */
public record MqttHealth(
    boolean connected, long connects, String problem, int statesWaiting, long dropped) {}
