package org.bathwarden.line.opcua;

import java.util.Optional;
import org.bathwarden.line.Encoding;
import org.bathwarden.line.Raw;
import org.bathwarden.signal.Quality.Reason;
import org.eclipse.milo.opcua.stack.core.StatusCodes;
import org.eclipse.milo.opcua.stack.core.types.builtin.DataValue;
import org.eclipse.milo.opcua.stack.core.types.builtin.StatusCode;
import org.eclipse.milo.opcua.stack.core.types.builtin.Variant;
import org.eclipse.milo.opcua.stack.core.types.builtin.unsigned.UInteger;
import org.eclipse.milo.opcua.stack.core.types.builtin.unsigned.UShort;
import org.eclipse.milo.opcua.stack.core.types.builtin.unsigned.Unsigned;

/** OPC UA values and status codes to raw values and back. */
final class Statuses {

  /** The code without its flags. Source: OPC UA Part 4, StatusCode. */
  private static final long CODE = 0xFFFF_0000L;

  private Statuses() {}

  /** What a read of a variable of {@code encoding} brought. */
  static Raw raw(DataValue value, Encoding encoding) {
    StatusCode status = value.getStatusCode();
    if (status.isBad()) {
      return new Raw.Nothing(
          missing(status) ? Reason.ITEM_MISSING : Reason.BAD_STATUS, name(status));
    }
    Variant variant = value.getValue();
    Object number = variant.getValue();
    if (number == null) {
      return new Raw.Nothing(Reason.BAD_STATUS, name(status) + ", but no value");
    }
    if (!encodingOf(number).equals(Optional.of(encoding))) {
      return new Raw.Nothing(
          Reason.ITEM_MISSING,
          "type is "
              + encodingOf(number)
                  .map(Encoding::word)
                  .orElseGet(() -> number.getClass().getSimpleName())
              + " at the server, "
              + encoding.word()
              + " in the configuration");
    }
    return new Raw.Value(
        number instanceof Boolean truth ? (truth ? 1 : 0) : ((Number) number).doubleValue(),
        status.isUncertain(),
        status.isUncertain() ? name(status) : "");
  }

  /** The value to write, of exactly the type; without status or timestamps. */
  static DataValue toWrite(double number, Encoding encoding) {
    long whole = Math.round(number);
    Object value =
        switch (encoding) {
          case BOOL -> whole != 0;
          case U16 -> Unsigned.ushort((int) whole);
          case S16 -> (short) whole;
          case U32 -> Unsigned.uint(whole);
          case S32 -> (int) whole;
          case F32 -> (float) number;
          case F64 -> number;
        };
    return DataValue.valueOnly(new Variant(value));
  }

  /** The name of a status code without its flags, or its number. */
  static String name(StatusCode status) {
    long code = status.getValue() & CODE;
    return StatusCodes.lookup(code).map(found -> found[0]).orElse(hex(code));
  }

  private static String hex(long code) {
    return String.format("0x%08X", code);
  }

  /** Whether it is the node that is not there or cannot be read, rather than its value. */
  private static boolean missing(StatusCode status) {
    long code = status.getValue() & CODE;
    return code == StatusCodes.Bad_NodeIdUnknown
        || code == StatusCodes.Bad_NodeIdInvalid
        || code == StatusCodes.Bad_AttributeIdInvalid
        || code == StatusCodes.Bad_NotReadable
        || code == StatusCodes.Bad_UserAccessDenied;
  }

  private static Optional<Encoding> encodingOf(Object number) {
    if (number instanceof Boolean) {
      return Optional.of(Encoding.BOOL);
    } else if (number instanceof UShort) {
      return Optional.of(Encoding.U16);
    } else if (number instanceof Short) {
      return Optional.of(Encoding.S16);
    } else if (number instanceof UInteger) {
      return Optional.of(Encoding.U32);
    } else if (number instanceof Integer) {
      return Optional.of(Encoding.S32);
    } else if (number instanceof Float) {
      return Optional.of(Encoding.F32);
    } else if (number instanceof Double) {
      return Optional.of(Encoding.F64);
    }
    return Optional.empty();
  }
}
