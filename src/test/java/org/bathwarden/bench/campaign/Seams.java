package org.bathwarden.bench.campaign;

import java.util.function.Function;
import org.bathwarden.line.LineReader;
import org.bathwarden.line.LineWriter;
import org.bathwarden.record.Record;
import org.bathwarden.tank.TankId;

/** What the controller is given: as it is, or with a mistake planted at that place. */
interface Seams {

  /** Everything as it is. */
  Seams SOUND = new Seams() {};

  default Record record(Record sound) {
    return sound;
  }

  default LineReader reader(LineReader sound) {
    return sound;
  }

  default Function<TankId, LineWriter> writers(Function<TankId, LineWriter> sound) {
    return sound;
  }
}
