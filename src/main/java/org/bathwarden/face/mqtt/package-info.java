/**
 * The MQTT face: retained states, the event stream and requests, on one thread of its own. The scan
 * only leaves payloads here and never waits.
 */
@NullMarked
package org.bathwarden.face.mqtt;

import org.jspecify.annotations.NullMarked;
