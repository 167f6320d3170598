package org.bathwarden.line.opcua;

import java.util.concurrent.CompletionException;
import java.util.concurrent.ExecutionException;
import java.util.concurrent.TimeoutException;
import org.eclipse.milo.opcua.stack.core.StatusCodes;
import org.eclipse.milo.opcua.stack.core.UaException;

/** The library's exceptions in words that say what to do. */
final class Failures {

  private Failures() {}

  static String words(Throwable failure) {
    Throwable cause = unwrapped(failure);
    if (cause instanceof TimeoutException) {
      return "no answer in time";
    }
    if (cause instanceof UaException ua) {
      return remedy(ua);
    }
    String message = cause.getMessage();
    return message == null ? cause.getClass().getSimpleName() : message;
  }

  private static String remedy(UaException failure) {
    String status = Statuses.name(failure.getStatusCode());
    long code = failure.getStatusCode().getValue();
    if (isLogin(code)) {
      return status + ": the server refuses the login; check user name, password or certificate";
    }
    if (code == StatusCodes.Bad_TcpEndpointUrlInvalid) {
      return status + ": the server is there, but knows no such path; see endpoint";
    }
    if (refusesCertificate(failure)) {
      return status + ": the server refuses this client's certificate; trust it at the server";
    }
    Throwable cause = failure.getCause();
    String message = failure.getMessage();
    if (cause != null && cause.toString().equals(message)) {
      message = cause.getMessage();
    }
    return message == null || message.startsWith(status) ? status : status + ": " + message;
  }

  /** Whether the server refuses this client's certificate, as far as its status says. */
  static boolean refusesCertificate(Throwable failure) {
    return unwrapped(failure) instanceof UaException ua
        && !isLogin(ua.getStatusCode().getValue())
        && (ua.getStatusCode().isSecurityError()
            || ua.getStatusCode().getValue() == StatusCodes.Bad_SecurityChecksFailed);
  }

  private static boolean isLogin(long code) {
    return code == StatusCodes.Bad_UserAccessDenied
        || code == StatusCodes.Bad_IdentityTokenRejected
        || code == StatusCodes.Bad_IdentityTokenInvalid;
  }

  private static Throwable unwrapped(Throwable failure) {
    Throwable cause = failure;
    while ((cause instanceof ExecutionException || cause instanceof CompletionException)
        && cause.getCause() != null) {
      cause = cause.getCause();
    }
    return cause;
  }
}
